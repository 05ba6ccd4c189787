//! `hillsip open` as a process: it listens, answers, and keeps what was saved when it is killed.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::process::{Child, Command, Stdio};

use super::with_sites;

/// A program that is killed at the end of its test.
struct Running {
    child: Child,
    address: String,
}

impl Drop for Running {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

fn open(home: &tempfile::TempDir) -> Running {
    let mut child = Command::new(assert_cmd::cargo::cargo_bin!("hillsip"))
        .current_dir(home)
        .args(["open", "quarry-bank", "--port", "0", "--no-browser"])
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let mut first = String::new();
    BufReader::new(child.stdout.take().unwrap()).read_line(&mut first).unwrap();
    let address = first.trim().rsplit("http://").next().unwrap().trim_end_matches('/').to_owned();
    Running { child, address }
}

fn ask(address: &str, request: &str) -> String {
    let mut stream = TcpStream::connect(address).unwrap();
    write!(stream, "{request}\r\n").unwrap();
    let mut answer = String::new();
    stream.read_to_string(&mut answer).unwrap();
    answer
}

#[test]
fn it_listens_on_this_machine_and_shows_the_site() {
    let home = with_sites();
    let running = open(&home);
    assert!(running.address.starts_with("127.0.0.1:"), "{}", running.address);
    let asked = format!("GET /api/site HTTP/1.1\r\nHost: {}\r\nConnection: close\r\n", running.address);
    let answer = ask(&running.address, &asked);
    assert!(answer.starts_with("HTTP/1.1 200 OK") && answer.contains("Quarry Bank"), "{answer}");
    let foreign = "GET /api/site HTTP/1.1\r\nHost: example.com\r\nConnection: close\r\n";
    assert!(ask(&running.address, foreign).starts_with("HTTP/1.1 403"));
}

/// Kills in the test that everybody runs; `HILLSIP_KILLS=1000` for the long one.
const KILLS: u64 = 10;
/// A program is killed at most so long after the first edit is sent, ms: a few edits' time.
const LATEST_KILL_MS: u64 = 600;

/// Sends edits without end, each after the answer to the last; how many were answered as done.
fn edit_until_killed(address: &str, round: u64) -> u64 {
    let page = ask(address, &format!("GET / HTTP/1.1\r\nHost: {address}\r\nConnection: close\r\n"));
    let token =
        page.split("hillsip-token\" content=\"").nth(1).unwrap().split('"').next().unwrap().to_owned();
    for revision in 1.. {
        let width_m = 0.5 + (round * 1000 + revision) as f64 / 1e6;
        let body = format!(
            "{{\"base_revision\":{revision},\"edit\":{{\"do\":\"set\",\"path\":[\"line\",\"low\",\"bed_width_m\"],\"value\":{width_m}}}}}"
        );
        let head = format!(
            "POST /api/edit HTTP/1.1\r\nHost: {address}\r\nX-Hillsip-Token: {token}\r\nContent-Type: application/json\r\nContent-Length: {}\r\nConnection: close\r\n\r\n{body}",
            body.len()
        );
        let Ok(mut stream) = TcpStream::connect(address) else { return revision - 1 };
        let mut answer = String::new();
        let sent = stream.write_all(head.as_bytes()).and_then(|()| stream.read_to_string(&mut answer));
        if sent.is_err() || !answer.starts_with("HTTP/1.1 200") {
            assert!(!answer.starts_with("HTTP/1.1 4"), "{answer}");
            return revision - 1;
        }
    }
    unreachable!("revisions do not end")
}

/// Killed at any moment: the plan loads, and every edit that was answered as done is in it.
#[test]
fn killed_at_any_moment_nothing_that_was_answered_is_lost() {
    let home = with_sites();
    let kills = std::env::var("HILLSIP_KILLS").ok().and_then(|text| text.parse().ok()).unwrap_or(KILLS);
    let mut answered = 0;
    for round in 1..=kills {
        let mut running = open(&home);
        let address = running.address.clone();
        let editing = std::thread::spawn(move || edit_until_killed(&address, round));
        std::thread::sleep(std::time::Duration::from_millis(30 + round * 137 % LATEST_KILL_MS));
        running.child.kill().unwrap();
        running.child.wait().unwrap();
        // The page itself may not have been served yet: then nothing was answered.
        let done = editing.join().unwrap_or(0);
        answered += done;
        let plan = std::fs::read_to_string(home.path().join("quarry-bank/site.toml")).unwrap();
        let loaded = super::hillsip(&home).args(["check", "quarry-bank"]).output().unwrap();
        assert_ne!(loaded.status.code(), Some(2), "{}", String::from_utf8_lossy(&loaded.stderr));
        let kept = |edit: u64| plan.contains(&format!("{}", 0.5 + (round * 1000 + edit) as f64 / 1e6));
        // One more than was answered may be on the disk: killed between saving and answering.
        assert!(done == 0 || kept(done) || kept(done + 1), "round {round}: {done} answered\n{plan}");
    }
    assert!(answered > 0, "no edit was answered in time: the test tells nothing");
}
