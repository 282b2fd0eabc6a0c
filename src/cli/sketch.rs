//! A curve of a forecast in plain characters.

use lentic::advice::Curve;

use super::tongue::number;

const COLUMNS: usize = 70;
const ROWS: usize = 7;

/// The lines of a small picture, at most 80 characters wide, with the first and the last day below.
pub(crate) fn sketch(curve: &Curve, dates: &[String], today: i32) -> Vec<String> {
    let days = curve.bands.len();
    let days_a_column = days.div_ceil(COLUMNS).max(1);
    let columns = days.div_ceil(days_a_column);
    let tops = curve.bands.iter().map(|band| band[4]);
    let read = curve.readings.iter().map(|reading| reading.high);
    let high = tops.chain(read).fold(0.0_f64, f64::max).max(1e-6);
    let lows = curve.bands.iter().map(|band| band[0]);
    let read = curve.readings.iter().map(|reading| reading.low);
    let lowest = lows.chain(read).fold(f64::INFINITY, f64::min);
    // A scale that would not reach down that far need not begin at nothing.
    let low = if lowest > 0.4 * high { lowest } else { 0.0 };
    let span = (high - low).max(1e-6);
    let row = |value: f64| {
        let share = ((value - low) / span).clamp(0.0, 1.0);
        (ROWS - 1) - (share * (ROWS - 1) as f64).round() as usize
    };
    let mut grid = vec![vec![' '; columns]; ROWS];
    for column in 0..columns {
        let band = curve.bands[(column * days_a_column).min(days - 1)];
        let mut fill = |from: f64, to: f64, mark: char| {
            for line in &mut grid[row(to)..=row(from)] {
                line[column] = mark;
            }
        };
        fill(band[0], band[4], '.');
        fill(band[1], band[3], ':');
        fill(band[2], band[2], 'o');
    }
    for reading in &curve.readings {
        let column = (reading.day.max(0.0) as usize / days_a_column).min(columns - 1);
        for line in &mut grid[row(reading.high)..=row(reading.low)] {
            line[column] = '#';
        }
    }
    let unit = if curve.unit == curve.label {
        String::new()
    } else {
        format!(", {}", curve.unit)
    };
    let mut lines = vec![format!("{}{unit}", curve.label)];
    for (index, line) in grid.into_iter().enumerate() {
        let mark = match index {
            0 => number(format!("{high:.1}")),
            index if index == ROWS - 1 => number(format!("{low:.1}")),
            _ => String::new(),
        };
        let text: String = line.into_iter().collect();
        lines.push(format!("{mark:>8} |{}", text.trim_end()));
    }
    let mut axis = vec!['-'; columns];
    if let Ok(today) = usize::try_from(today)
        && today < days
    {
        axis[(today / days_a_column).min(columns - 1)] = '^';
    }
    let axis: String = axis.into_iter().collect();
    lines.push(format!("{:>8} +{axis}", ""));
    if let [first, .., last] = dates {
        let room = columns.saturating_sub(first.len()).max(last.len() + 1);
        lines.push(format!("{:>10}{first}{last:>room$}", ""));
    }
    lines
}
