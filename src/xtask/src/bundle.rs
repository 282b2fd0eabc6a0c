//! Joins ES modules into one script.
//!
//! Each module becomes an asynchronous generator. It first exposes what it exports and stops; once all have, each
//! takes what it imports and runs, those that it imports before it. So functions are there even where modules
//! import each other, as with real modules. The modules are our own and the glue's, so only the forms that these
//! use are understood, and any other is refused.

use anyhow::{Context, Result, bail, ensure};
use std::fmt::Write;
use std::path::{Component, Path, PathBuf};
use std::{collections::BTreeMap, fs};

/// The script that runs the module `entry` of `folder`; `instead` names modules that stand in for others.
pub fn bundle(folder: &Path, entry: &str, instead: &[(&str, &str)]) -> Result<String> {
    let mut bundle = Bundle {
        folder,
        instead,
        places: BTreeMap::new(),
        modules: Vec::new(),
    };
    bundle.add(PathBuf::from(entry))?;
    bundle.written()
}

/// The modules that `entry` of `folder` needs, itself among them.
pub fn modules(folder: &Path, entry: &str) -> Result<Vec<PathBuf>> {
    let mut bundle = Bundle {
        folder,
        instead: &[],
        places: BTreeMap::new(),
        modules: Vec::new(),
    };
    bundle.add(PathBuf::from(entry))?;
    Ok(bundle.places.into_keys().collect())
}

struct Bundle<'a> {
    folder: &'a Path,
    instead: &'a [(&'a str, &'a str)],
    /// Where each module stands in the order in which modules run; none while it is being read.
    places: BTreeMap<PathBuf, Option<usize>>,
    modules: Vec<Module>,
}

#[derive(Default)]
struct Module {
    imports: Vec<Import>,
    /// Exported names, each with the name inside.
    exports: Vec<(String, String)>,
    body: String,
}

struct Import {
    /// What stands between `import` and `from`.
    what: String,
    from: PathBuf,
}

impl Bundle<'_> {
    fn add(&mut self, name: PathBuf) -> Result<()> {
        if self.places.contains_key(&name) {
            return Ok(());
        }
        self.places.insert(name.clone(), None);
        let file = self.instead.iter().find(|(of, _)| Path::new(of) == name);
        let file = file.map_or(name.as_path(), |(_, other)| Path::new(other));
        let text = fs::read_to_string(self.folder.join(file))
            .with_context(|| format!("cannot read {}", name.display()))?;
        let module = parsed(&name, &text).with_context(|| format!("in {}", name.display()))?;
        for import in &module.imports {
            self.add(import.from.clone())?;
        }
        self.places.insert(name, Some(self.modules.len()));
        self.modules.push(module);
        Ok(())
    }

    fn written(&self) -> Result<String> {
        let mut script = String::from("const spaces = [], modules = [\n");
        for (index, module) in self.modules.iter().enumerate() {
            writeln!(script, "async function* () {{")?;
            writeln!(script, "Object.defineProperties(spaces[{index}], {{")?;
            for (exported, inside) in &module.exports {
                writeln!(
                    script,
                    "{exported}: {{ get: () => {inside}, enumerable: true }},"
                )?;
            }
            writeln!(script, "}});\nyield;")?;
            for import in &module.imports {
                self.take(&mut script, import)?;
            }
            writeln!(script, "{}}},", module.body)?;
        }
        script.push_str(
            "];\nfor (const _ of modules) spaces.push({});\n\
             const running = modules.map((module) => module());\n\
             for (const one of running) await one.next();\n\
             for (const one of running) await one.next();\n",
        );
        ensure!(
            !script.contains("</script") && !script.contains("<!--"),
            "a script holds what would end it within a page"
        );
        Ok(script)
    }

    fn take(&self, script: &mut String, import: &Import) -> Result<()> {
        let place = self.places.get(&import.from).copied().flatten();
        let place = place.context("a module imports what has no place")?;
        let what = import.what.trim();
        if let Some(name) = what.strip_prefix("* as ") {
            writeln!(script, "const {name} = spaces[{place}];")?;
        } else if let (Some(open), Some(close)) = (what.find('{'), what.rfind('}')) {
            let whole = what[..open].trim().trim_end_matches(',');
            if !whole.is_empty() {
                writeln!(script, "const {{ default: {whole} }} = spaces[{place}];")?;
            }
            let names = what[open..=close].replace(" as ", ": ");
            writeln!(script, "const {names} = spaces[{place}];")?;
        } else if !what.is_empty() {
            writeln!(script, "const {{ default: {what} }} = spaces[{place}];")?;
        }
        Ok(())
    }
}

fn parsed(name: &Path, text: &str) -> Result<Module> {
    let folder = name.parent().unwrap_or(Path::new(""));
    let mut module = Module::default();
    let mut lines = text.lines();
    while let Some(line) = lines.next() {
        let start = line.trim_start();
        if start.starts_with("//") {
            continue;
        } else if start.starts_with("/**") && !start.contains("*/ ") {
            skip_comment(line, &mut lines)?;
        } else if line.starts_with("import ") {
            let mut statement = line.to_owned();
            while !statement.ends_with(';') {
                let next = lines.next().context("an import has no end")?;
                statement.push_str(next);
            }
            module.imports.push(import(folder, &statement)?);
        } else if let Some(rest) = line.strip_prefix("export ") {
            export(&mut module, rest)?;
        } else {
            module.body.push_str(line);
            module.body.push('\n');
        }
    }
    Ok(module)
}

/// Comments are for who reads the sources.
fn skip_comment<'a>(first: &str, lines: &mut impl Iterator<Item = &'a str>) -> Result<()> {
    let mut line = first;
    while !line.trim_end().ends_with("*/") {
        line = lines.next().context("a comment has no end")?;
    }
    Ok(())
}

fn import(folder: &Path, statement: &str) -> Result<Import> {
    let statement = statement
        .trim_start_matches("import ")
        .trim_end_matches(';');
    let (what, from) = statement.split_once(" from ").unwrap_or(("", statement));
    let from = from.trim().trim_matches('"');
    ensure!(from.starts_with('.'), "`{from}` is no module of the page");
    Ok(Import {
        what: what.to_owned(),
        from: joined(folder, from)?,
    })
}

fn joined(folder: &Path, from: &str) -> Result<PathBuf> {
    let mut path = folder.to_owned();
    for part in Path::new(from).components() {
        match part {
            Component::Normal(part) => path.push(part),
            Component::ParentDir => ensure!(path.pop(), "`{from}` leads out of the page"),
            Component::CurDir => {}
            _ => bail!("`{from}` is no module of the page"),
        }
    }
    Ok(path)
}

fn export(module: &mut Module, rest: &str) -> Result<()> {
    if let Some(list) = rest.strip_prefix("{ ") {
        let list = list
            .strip_suffix(" };")
            .with_context(|| format!("cannot read `export {rest}`"))?;
        for one in list.split(", ") {
            let (inside, exported) = one.split_once(" as ").unwrap_or((one, one));
            module
                .exports
                .push((exported.to_owned(), inside.to_owned()));
        }
        return Ok(());
    }
    let declared = ["const ", "function ", "async function ", "class "]
        .iter()
        .find_map(|keyword| rest.strip_prefix(keyword))
        .with_context(|| format!("cannot read `export {rest}`"))?;
    let is_inside = |c: char| c.is_alphanumeric() || c == '_' || c == '$';
    let name: String = declared.chars().take_while(|c| is_inside(*c)).collect();
    ensure!(!name.is_empty(), "cannot read `export {rest}`");
    module.exports.push((name.clone(), name));
    module.body.push_str(rest);
    module.body.push('\n');
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Result<Module> {
        parsed(Path::new("parts/reed.js"), text)
    }

    #[test]
    fn imports_are_found_and_resolved() {
        let module = read(
            "import whole, { a, b as c } from \"../pkg/d.js\";\nimport {\n  long,\n} from \"./e.js\";\nimport * as f from \"./f.js\";\n",
        )
        .unwrap();
        let from: Vec<&Path> = module.imports.iter().map(|i| i.from.as_path()).collect();
        let wanted = ["pkg/d.js", "parts/e.js", "parts/f.js"].map(Path::new);
        assert_eq!(from, wanted);
    }

    #[test]
    fn exports_are_found() {
        let module = read(
            "export const a = 1;\nexport async function b() {}\nexport { c, d as default };\n",
        )
        .unwrap();
        let names: Vec<&str> = module.exports.iter().map(|(name, _)| &**name).collect();
        assert_eq!(names, ["a", "b", "c", "default"]);
        assert_eq!(module.body, "const a = 1;\nasync function b() {}\n");
    }

    #[test]
    fn comments_are_left_out_but_not_what_stands_beside_them() {
        let module = read(
            "// reed\n/**\n * @param {any} a\n */\nconst f = (a) => /** @type {any} */ (a);\n  /** @type {any} */ (f).b = 1;\n",
        )
        .unwrap();
        assert_eq!(
            module.body,
            "const f = (a) => /** @type {any} */ (a);\n  /** @type {any} */ (f).b = 1;\n"
        );
    }

    #[test]
    fn what_would_not_mean_the_same_is_refused() {
        for text in [
            "export let a = 1;",
            "export default 3;",
            "export * from \"./a.js\";",
            "import { a } from \"elsewhere\";",
            "import { a } from \"../../a.js\";",
        ] {
            assert!(read(text).is_err(), "{text}");
        }
    }
}
