use super::run;

const COMMANDS: [&str; 17] = [
    "demo", "new", "check", "levels", "soak", "walk", "pegs", "sizes", "planting", "digging", "compare",
    "rain", "season", "paper", "hand-on", "bring", "open",
];

/// The help of every command, read as one page.
#[test]
fn help_is_as_accepted() {
    let home = tempfile::tempdir().unwrap();
    let mut page = run(&home, &["--help"]).0;
    for command in COMMANDS {
        let (help, _, code) = run(&home, &[command, "--help"]);
        assert_eq!(code, 0);
        page.push_str(&format!("\n======== hillsip {command}\n{help}"));
    }
    insta::assert_snapshot!(page);
}

#[test]
fn every_command_is_in_the_page() {
    let home = tempfile::tempdir().unwrap();
    let (help, _, _) = run(&home, &["--help"]);
    let commands = help.split("Commands:").nth(1).unwrap().split("\n\n").next().unwrap();
    let listed: Vec<&str> = commands
        .lines()
        .filter(|line| line.starts_with("  ") && !line.starts_with("   "))
        .filter_map(|line| line.split_whitespace().next())
        .filter(|command| *command != "help")
        .collect();
    let mut known = COMMANDS.to_vec();
    known.sort_unstable();
    let mut sorted = listed;
    sorted.sort_unstable();
    assert_eq!(sorted, known);
}
