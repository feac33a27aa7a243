//! The scripts of the pages in one file.
//!
//! A page in the cellar gets its scripts from the service worker, and fifteen small ones take a phone longer to ask for than to
//! run. So they are served as one; each stays a module of its own to read and to change.

/// A script with all that it imports before it, each in a function of its own, so that its names stay its own.
///
/// Understood is what our scripts say, and nothing else: `import { a, b } from './other.js';` on a line of its own, and `export`
/// before a function or a constant, at the beginning of a line. `text_of` gives the text of a file.
///
/// # Errors
/// Where a script imports otherwise, what is not there, or in a circle.
pub(super) fn joined(
    root: &'static str,
    text_of: &impl Fn(&str) -> Option<&'static str>,
) -> Result<String, String> {
    let mut done = Vec::new();
    let mut text = String::from("const parts = {};\n");
    add(root, text_of, &mut Vec::new(), &mut done, &mut text)?;
    Ok(text)
}

/// Adds a script after those that it imports; `above` are those that wait for it, `done` those that stand there, by their names
/// and what they export.
fn add(
    file: &'static str,
    text_of: &impl Fn(&str) -> Option<&'static str>,
    above: &mut Vec<&'static str>,
    done: &mut Vec<(&'static str, Vec<&'static str>)>,
    joined: &mut String,
) -> Result<(), String> {
    if done.iter().any(|(name, _)| *name == file) {
        return Ok(());
    }
    if above.contains(&file) {
        return Err(format!("{file} imports itself by way of {}", above.join(", ")));
    }
    let text = text_of(file).ok_or_else(|| format!("{file} is not there"))?;
    above.push(file);
    let mut own = String::new();
    let mut exports = Vec::new();
    for line in text.lines() {
        if line.starts_with("import ") {
            let (names, from) = import(line).ok_or_else(|| format!("{file}: `{line}` is not understood"))?;
            add(from, text_of, above, done, joined)?;
            let given = done
                .iter()
                .find(|(name, _)| *name == from)
                .map(|(_, given)| given.as_slice())
                .unwrap_or_default();
            if let Some(missing) = names.split(", ").find(|name| !given.contains(name)) {
                return Err(format!("{file}: {from} exports no {missing}"));
            }
            own += &format!("const {{ {names} }} = parts['{from}'];\n");
        } else if let Some(rest) = line.strip_prefix("export ") {
            exports.push(exported(rest).ok_or_else(|| format!("{file}: `{line}` is not understood"))?);
            own += &format!("{rest}\n");
        } else {
            own += &format!("{line}\n");
        }
    }
    above.pop();
    *joined += &format!("parts['{file}'] = (() => {{\n{own}return {{ {} }};\n}})();\n", exports.join(", "));
    done.push((file, exports));
    Ok(())
}

/// Names and file of an import.
fn import(line: &'static str) -> Option<(&'static str, &'static str)> {
    let (names, from) = line.strip_prefix("import { ")?.split_once(" } from './")?;
    let plain = names.chars().all(|char| char.is_ascii_alphanumeric() || char == ',' || char == ' ');
    let from = from.strip_suffix("';")?;
    (plain && !names.contains(" as ")).then_some((names, from))
}

/// Name of what is exported.
fn exported(rest: &'static str) -> Option<&'static str> {
    let rest = rest.strip_prefix("async ").unwrap_or(rest);
    let rest = rest.strip_prefix("function ").or_else(|| rest.strip_prefix("const "))?;
    let end = rest.find(|char: char| !char.is_ascii_alphanumeric())?;
    (0 < end).then(|| &rest[..end])
}

#[cfg(test)]
mod tests {
    use super::joined;

    fn of(files: &'static [(&'static str, &'static str)]) -> Result<String, String> {
        joined("a.js", &|file| files.iter().find(|(name, _)| *name == file).map(|(_, text)| *text))
    }

    #[test]
    fn what_is_imported_stands_before_and_once() {
        let text = of(&[
            ("a.js", "import { two } from './b.js';\nimport { one } from './c.js';\none(two);\n"),
            ("b.js", "import { one } from './c.js';\nexport const two = one() + 1;\nconst own = 3;\n"),
            ("c.js", "export function one() { return 1; }\n"),
        ]);
        let parts = [
            "const parts = {};\n",
            "parts['c.js'] = (() => {\nfunction one() { return 1; }\nreturn { one };\n})();\n",
            "parts['b.js'] = (() => {\nconst { one } = parts['c.js'];\nconst two = one() + 1;\nconst own = 3;\nreturn { two };\n})();\n",
            "parts['a.js'] = (() => {\nconst { two } = parts['b.js'];\nconst { one } = parts['c.js'];\none(two);\nreturn {  };\n})();\n",
        ];
        assert_eq!(text, Ok(parts.concat()));
    }

    #[test]
    fn what_is_not_understood_is_refused() {
        let refused = |files| of(files).expect_err("it is refused");
        assert_eq!(
            refused(&[("a.js", "import all from './b.js';\n")]),
            "a.js: `import all from './b.js';` is not understood"
        );
        assert_eq!(refused(&[("a.js", "import { b } from './b.js';\n")]), "b.js is not there");
        assert_eq!(
            refused(&[("a.js", "import { b } from './b.js';\n"), ("b.js", "export const c = 1;\n")]),
            "a.js: b.js exports no b"
        );
        assert_eq!(
            refused(&[("a.js", "import { b } from './b.js';\n"), ("b.js", "import { a } from './a.js';\n")]),
            "a.js imports itself by way of a.js, b.js"
        );
        assert_eq!(
            refused(&[("a.js", "export default 1;\n")]),
            "a.js: `export default 1;` is not understood"
        );
    }
}
