use super::{hillsip, run, with_sites};

/// The examples at the foot of a command's help.
fn examples(help: &str) -> Vec<Vec<String>> {
    let foot = help.split("Examples:").nth(1).unwrap_or_default();
    let lines = foot.lines().map(str::trim).filter(|line| line.starts_with("hillsip "));
    lines.map(|line| words(line).into_iter().skip(1).collect()).collect()
}

/// A command line's words; a word in double quotes may hold spaces.
fn words(line: &str) -> Vec<String> {
    let mut words = vec![String::new()];
    let mut quoted = false;
    for letter in line.chars() {
        match letter {
            '"' => quoted = !quoted,
            ' ' if !quoted => words.push(String::new()),
            _ => words.last_mut().expect("there is always a word").push(letter),
        }
    }
    words.into_iter().filter(|word| !word.is_empty()).collect()
}

/// Each command shows two examples, and each runs: 0, or 1 where it says that a finding says stop.
#[test]
fn every_example_in_the_help_runs() {
    let home = with_sites();
    let mut ran = 0;
    for command in [
        "demo", "new", "check", "levels", "soak", "walk", "pegs", "sizes", "planting", "digging", "compare",
        "rain", "season", "paper", "hand-on", "bring",
    ] {
        let (help, _, _) = run(&home, &[command, "--help"]);
        let examples = examples(&help);
        assert_eq!(examples.len(), 2, "{command}");
        for example in examples {
            // A new folder each time for the two that write one.
            let fresh = tempfile::tempdir().unwrap();
            let at = if ["demo", "new"].contains(&command) { &fresh } else { &home };
            let output = hillsip(at).args(&example).output().unwrap();
            let code = output.status.code().unwrap();
            let told = String::from_utf8_lossy(&output.stderr).into_owned();
            assert!(code == 0 || code == 1, "{example:?} ended with {code}: {told}");
            assert!(!output.stdout.is_empty(), "{example:?}");
            if example.contains(&"--json".to_owned()) {
                let text = String::from_utf8(output.stdout).unwrap();
                serde_json::from_str::<serde_json::Value>(&text).unwrap();
            }
            ran += 1;
        }
    }
    assert_eq!(ran, 32);
}
