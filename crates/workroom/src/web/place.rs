//! Where her data lies when she does not say.

use std::env;
use std::path::PathBuf;

/// The usual folder on this system.
///
/// # Errors
/// When the account has no folder of its own; in a sentence.
pub(crate) fn usual() -> Result<PathBuf, String> {
    of(|name| {
        env::var_os(name)
            .filter(|v| !v.is_empty())
            .map(PathBuf::from)
    })
    .ok_or_else(|| {
        "This account has no folder of its own. Say with --data where your records are to lie."
            .to_owned()
    })
}

fn of(named: impl Fn(&str) -> Option<PathBuf>) -> Option<PathBuf> {
    if cfg!(windows) {
        // Not the roaming one: a file of records is not to be carried about while it is open.
        named("LOCALAPPDATA").map(|f| f.join("Ellwand"))
    } else if cfg!(target_os = "macos") {
        named("HOME").map(|f| f.join("Library/Application Support/Ellwand"))
    } else {
        // The XDG Base Directory rules: a path that is not absolute is passed over.
        named("XDG_DATA_HOME")
            .filter(|f| f.is_absolute())
            .or_else(|| named("HOME").map(|f| f.join(".local/share")))
            .map(|f| f.join("ellwand"))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    #[cfg(not(any(windows, target_os = "macos")))]
    fn the_folder_follows_the_rules_of_the_system() {
        let of_names = |all: &'static [(&str, &str)]| {
            of(move |name| {
                all.iter()
                    .find(|(n, _)| *n == name)
                    .map(|(_, v)| PathBuf::from(v))
            })
        };
        let usual = PathBuf::from("/people/ada/.local/share/ellwand");
        assert_eq!(of_names(&[("HOME", "/people/ada")]), Some(usual.clone()));
        assert_eq!(
            of_names(&[("HOME", "/people/ada"), ("XDG_DATA_HOME", "data")]),
            Some(usual)
        );
        assert_eq!(
            of_names(&[("HOME", "/people/ada"), ("XDG_DATA_HOME", "/data")]),
            Some(PathBuf::from("/data/ellwand"))
        );
        assert_eq!(of_names(&[]), None);
    }
}
