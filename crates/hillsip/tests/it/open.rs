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
