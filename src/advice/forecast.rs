//! What the water will do, and when the cycle will be done.
use super::*;
use super::keeper::*;
use crate::water::nitrification as model;
/// probe
pub fn probe(book: &Book, journal: &Journal, on: Date, members: usize, planting: bool) {
    let t = std::time::Instant::now();
    let setting = setting::setting(book, journal, on).unwrap();
    eprintln!("setting {:?}", t.elapsed());
    let t = std::time::Instant::now();
    let s = model::Settings { members, ..model::Settings::default() };
    let fit = model::fit(&setting.tank, &setting.readings, &setting.ranges, s);
    eprintln!("fit {:?} readings {} stages {} eff {} misfit {:?}", t.elapsed(), setting.readings.len(), fit.stages, fit.effective_members, fit.misfit);
    let t = std::time::Instant::now();
    let out = outlook(book, &setting, &fit, Ahead { days: 60, planting });
    eprintln!("outlook {:?}", t.elapsed());
    for q in [model::Quantity::Ammonia, model::Quantity::Nitrite, model::Quantity::Nitrate] {
        let b = out.courses.bands(q);
        for d in (0..b.len()).step_by(7) { eprintln!("{q:?} {d} {:.2?}", b[d]); }
    }
    let show = |f: fn(&Story)->Option<usize>| { let mut v: Vec<_> = out.stories.iter().map(|s| f(s).unwrap_or(999)).collect(); v.sort(); let n=v.len(); [v[n/20], v[n/4], v[n/2], v[n*3/4], v[n*19/20]] };
    eprintln!("from {} done {:?} plant {:?} crew {:?} fish {:?} open {}", out.from, show(|s| s.done), show(|s| s.plant), show(|s| s.crew), show(|s| s.fish), out.stories.iter().filter(|s| s.open).count());
    eprintln!("changes {:?}", out.stories[0].changes);
    eprintln!("doses {:?}", out.stories[0].doses);
    for a in &setting.assumed { eprintln!("assumed {} {}", a.fact, a.taken); }
}
