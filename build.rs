//! Collects `hazards/` and `templates/` into the program.
//!
//! YAML is turned into JSON value for value, since JSON reads many times faster at start-up;
//! nothing is interpreted here. A file that is not YAML stops the build with its name and line.

use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::{env, fs, io};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let root = PathBuf::from(env::var("CARGO_MANIFEST_DIR")?);
    let out = PathBuf::from(env::var("OUT_DIR")?);
    let mut table = String::from("pub static FILES: &[(&str, &str)] = &[\n");

    let mut files = Vec::new();
    for folder in ["hazards", "templates"] {
        println!("cargo::rerun-if-changed={folder}");
        for path in files_below(&root.join(folder))? {
            files.push((
                path.strip_prefix(&root)?
                    .to_string_lossy()
                    .replace('\\', "/"),
                path,
            ));
        }
    }
    // By name as text: the program looks files up by binary search.
    files.sort();
    for (name, path) in files {
        let text = fs::read_to_string(&path).map_err(|error| format!("{name}: {error}"))?;
        let text = if is_data(&name) {
            json(&name, &text)?
        } else {
            text
        };
        writeln!(table, "    ({name:?}, {text:?}),")?;
    }
    table.push_str("];\n");
    fs::write(out.join("files.rs"), table)?;
    Ok(())
}

fn json(name: &str, yaml: &str) -> Result<String, String> {
    let value: serde_json::Value =
        serde_yaml::from_str(yaml).map_err(|error| match error.location() {
            Some(at) => format!("{name}:{}:{}: {error}", at.line(), at.column()),
            None => format!("{name}: {error}"),
        })?;
    Ok(value.to_string())
}

/// Starter files are laid down for people as they stand; all other YAML is read by the program.
fn is_data(name: &str) -> bool {
    name.ends_with(".yaml") && !name.starts_with("templates/starter/")
}

/// Every file below a folder.
fn files_below(folder: &Path) -> io::Result<Vec<PathBuf>> {
    let mut found = Vec::new();
    let mut open = vec![folder.to_path_buf()];
    while let Some(folder) = open.pop() {
        for entry in fs::read_dir(&folder)? {
            let path = entry?.path();
            if path.is_dir() {
                open.push(path);
            } else {
                found.push(path);
            }
        }
    }
    Ok(found)
}
