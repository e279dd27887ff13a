//! Which rule files build on which: in the order they build, rings refused.

use crate::session::Written;
use crate::source::Mistake;

/// A file and the names it builds on.
#[derive(Debug, Clone)]
pub struct Named<T> {
    /// What others call it.
    pub name: String,
    /// Names it builds on.
    pub based_on: Vec<Written<String>>,
    /// The file.
    pub file: T,
}

/// The files, each after those it builds on; names that are no file here are left to the caller.
///
/// # Errors
/// A file that builds on itself, at once or by way of others: where it says so.
pub fn in_order<T: Clone>(files: &[Named<T>]) -> Result<Vec<Named<T>>, Vec<Mistake>> {
    let mut walk = Walk {
        files,
        open: Vec::new(),
        done: Vec::new(),
        mistakes: Vec::new(),
    };
    for at in 0..files.len() {
        walk.visit(at);
    }
    if walk.mistakes.is_empty() {
        Ok(walk
            .done
            .iter()
            .filter_map(|at| files.get(*at).cloned())
            .collect())
    } else {
        Err(walk.mistakes)
    }
}

struct Walk<'f, T> {
    files: &'f [Named<T>],
    open: Vec<usize>,
    done: Vec<usize>,
    mistakes: Vec<Mistake>,
}

impl<T> Walk<'_, T> {
    fn visit(&mut self, at: usize) {
        let Some(file) = self.files.get(at) else {
            return;
        };
        if self.done.contains(&at) {
            return;
        }
        self.open.push(at);
        for below in &file.based_on {
            let Some(next) = self.files.iter().position(|f| f.name == below.value) else {
                continue;
            };
            if self.open.contains(&next) {
                self.mistakes.push(self.ring(next, below));
            } else {
                self.visit(next);
            }
        }
        self.open.pop();
        self.done.push(at);
    }

    fn ring(&self, from: usize, below: &Written<String>) -> Mistake {
        let ring = self.open.iter().skip_while(|at| **at != from);
        let mut names: Vec<&str> = ring
            .filter_map(|at| self.files.get(*at))
            .map(|file| file.name.as_str())
            .collect();
        names.push(&below.value);
        let message = format!("these rules build on themselves: {}", names.join(" → "));
        Mistake::at(
            below.place.clone(),
            message,
            "remove this name from one of them",
        )
    }
}
