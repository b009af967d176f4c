//! The bench page's server as a browser, another site, another program and a dying machine meet it.

use crate::shell::Bench;
use serde_json::{json, Value};
use std::fs;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

const DISC: &str =
    "[sheet]\nmetal = \"copper\"\nthickness = 0.8\n[outline]\nshape = \"circle\"\ndiameter = 30\n\
                    [pattern]\nname = \"hexagon\"\npitch = 6\nat_border = \"trim\"\n";

/// A running program, ended with the test.
struct Site {
    child: Child,
    port: u16,
    token: String,
}

impl Drop for Site {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

struct Reply {
    status: u16,
    head: String,
    body: Vec<u8>,
}

impl Site {
    fn start(bench: &Bench, words: &[&str]) -> Self {
        let mut command = Command::new(env!("CARGO_BIN_EXE_sawpierce"));
        command.args(["open", "--no-browser", "--port", "0"]).args(words);
        Self::of(bench, command)
    }

    fn of(bench: &Bench, mut command: Command) -> Self {
        command.current_dir(bench.path("")).env("SAWPIERCE_SETTINGS", bench.path("settings"));
        let mut child = command.stdout(Stdio::piped()).stderr(Stdio::null()).spawn().expect("it runs");
        let mut first = String::new();
        BufReader::new(child.stdout.take().expect("stdout")).read_line(&mut first).expect("an address");
        let address = first.trim().strip_prefix("http://127.0.0.1:").expect("an address of this machine");
        let (port, token) = address.split_once('/').expect("a token");
        let token = token.strip_suffix('/').expect("a folder").to_string();
        Self { port: port.parse().expect("a port"), child, token }
    }

    /// Sends bytes as they are.
    fn raw(&self, bytes: &[u8]) -> Reply {
        let mut stream = TcpStream::connect(("127.0.0.1", self.port)).expect("it listens");
        stream.set_read_timeout(Some(Duration::from_secs(60))).expect("set");
        // A server that refuses may close before all is sent.
        let _ = stream.write_all(bytes);
        let mut all = Vec::new();
        let mut part = [0; 65536];
        // To the told length: a server that has refused need not close before we do.
        let (head, end) = loop {
            let end = all.windows(4).position(|w| w == b"\r\n\r\n").map(|i| i + 4);
            let head = String::from_utf8_lossy(&all[..end.unwrap_or(all.len())]).into_owned();
            let length = head
                .lines()
                .find_map(|l| l.strip_prefix("Content-Length: "))
                .and_then(|l| l.parse::<usize>().ok());
            match (end, length) {
                (Some(end), Some(length)) if all.len() >= end + length => break (head, end),
                _ => {}
            }
            match stream.read(&mut part) {
                Ok(n) if n > 0 => all.extend_from_slice(&part[..n]),
                _ => break (head, end.unwrap_or(all.len())),
            }
        };
        let status = head.split(' ').nth(1).and_then(|s| s.parse().ok()).unwrap_or(0);
        Reply { status, head, body: all.split_off(end) }
    }

    fn request(&self, method: &str, path: &str, headers: &[(&str, &str)], body: &[u8]) -> Reply {
        let host = format!("127.0.0.1:{}", self.port);
        let mut text = format!("{method} {path} HTTP/1.1\r\nConnection: close\r\n");
        if !headers.iter().any(|(name, _)| *name == "Host") {
            text += &format!("Host: {host}\r\n");
        }
        for (name, value) in headers {
            text += &format!("{name}: {value}\r\n");
        }
        if method == "POST" && !headers.iter().any(|(name, _)| *name == "Content-Length") {
            text += &format!("Content-Length: {}\r\n", body.len());
        }
        self.raw(&[text.as_bytes(), b"\r\n", body].concat())
    }

    fn get(&self, path: &str) -> Reply {
        self.request("GET", &format!("/{}/{path}", self.token), &[], b"")
    }

    fn ask(&self, question: Value) -> Value {
        let path = format!("/{}/ask", self.token);
        let reply = self.request(
            "POST",
            &path,
            &[("Content-Type", "application/json")],
            question.to_string().as_bytes(),
        );
        assert_eq!(reply.status, 200, "{question}: {}", reply.head);
        serde_json::from_slice(&reply.body).expect("JSON")
    }

    /// Asks until the work is on the disk.
    fn until_safe(&self) -> Value {
        let since = Instant::now();
        loop {
            let at = self.ask(json!({ "ask": "where" }));
            if at["safe"] == true || since.elapsed() > Duration::from_secs(20) {
                return at;
            }
            std::thread::sleep(Duration::from_millis(20));
        }
    }
}

fn wide(mm: f64) -> Value {
    json!({ "ask": "edit", "with": [], "edits": [{ "path": "outline.diameter", "value": mm }] })
}

#[test]
fn the_page_is_served_with_all_that_keeps_it_to_itself() {
    let bench = Bench::new();
    let site = Site::start(&bench, &[]);
    assert_eq!(site.token.len(), 32);
    let page = site.get("");
    assert_eq!(page.status, 200);
    assert!(String::from_utf8_lossy(&page.body).contains("<!doctype html>"));
    for part in [
        "Content-Security-Policy: default-src 'none'",
        "X-Content-Type-Options: nosniff",
        "Cache-Control: no-store",
        "Referrer-Policy: no-referrer",
        "X-Frame-Options: DENY",
        "Cross-Origin-Resource-Policy: same-origin",
    ] {
        assert!(page.head.contains(part), "{part}: {}", page.head);
    }
    assert!(!page.head.contains("unsafe") && !page.head.contains("Access-Control"), "{}", page.head);
    let state = site.ask(json!({ "ask": "state" }));
    assert_eq!(state["ok"], true);
    let pdf = site.get("file/pdf");
    assert!(pdf.status == 200 && pdf.body.starts_with(b"%PDF"), "{}", pdf.head);
    assert!(pdf.head.contains("attachment; filename=\"piece.pdf\""), "{}", pdf.head);
    // Each start has an address of its own.
    assert_ne!(Site::start(&bench, &[]).token, site.token);
}

#[test]
fn only_this_machine_is_listened_to() {
    let bench = Bench::new();
    let site = Site::start(&bench, &[]);
    // 127.0.0.2 is this machine too, and not what is listened on; no other address is.
    assert!(TcpStream::connect(("127.0.0.2", site.port)).is_err());
    let listening = fs::read_to_string("/proc/net/tcp").unwrap_or_default();
    let port = format!(":{:04X}", site.port);
    let ours: Vec<&str> = listening
        .lines()
        .filter_map(|l| l.split_whitespace().nth(1))
        .filter(|a| a.ends_with(&port))
        .collect();
    assert!(!ours.is_empty() && ours.iter().all(|a| a.starts_with("0100007F")), "{ours:?}");
    assert!(!fs::read_to_string("/proc/net/tcp6").unwrap_or_default().contains(&port));
}

#[test]
fn a_name_made_to_point_here_is_turned_away() {
    let bench = Bench::new();
    let site = Site::start(&bench, &[]);
    let (page, port) = (format!("/{}/", site.token), site.port);
    for host in [
        "evil.example".to_string(),
        format!("evil.example:{port}"),
        format!("127.0.0.1.evil.example:{port}"),
        "127.0.0.1".into(),
        format!("127.0.0.1:{}", port.wrapping_add(1)),
        String::new(),
    ] {
        let reply = site.request("GET", &page, &[("Host", &host)], b"");
        assert_eq!(reply.status, 421, "{host}: {}", reply.head);
        assert!(reply.body.is_empty());
    }
    assert_eq!(site.request("GET", &page, &[("Host", &format!("localhost:{port}"))], b"").status, 200);
    // Two names, of which one is right; and none.
    let two =
        site.request("GET", &page, &[("Host", &format!("127.0.0.1:{port}")), ("Host", "evil.example")], b"");
    assert_eq!(two.status, 421, "{}", two.head);
    let none = site.raw(format!("GET {page} HTTP/1.1\r\nConnection: close\r\n\r\n").as_bytes());
    assert_eq!(none.status, 421, "{}", none.head);
}

#[test]
fn another_site_can_neither_ask_nor_look() {
    let bench = Bench::new();
    bench.put("moth.toml", DISC);
    let site = Site::start(&bench, &["moth.toml"]);
    let path = format!("/{}/ask", site.token);
    let body = wide(50.0).to_string();
    let json = ("Content-Type", "application/json");
    for origin in [
        "http://evil.example",
        "null",
        "https://127.0.0.1",
        "http://127.0.0.1",
        &format!("http://127.0.0.1:{}.evil.example", site.port),
    ] {
        let reply = site.request("POST", &path, &[json, ("Origin", origin)], body.as_bytes());
        assert_eq!(reply.status, 403, "{origin}: {}", reply.head);
    }
    for (name, value) in [("Sec-Fetch-Site", "cross-site"), ("Sec-Fetch-Site", "same-site")] {
        assert_eq!(site.request("POST", &path, &[json, (name, value)], body.as_bytes()).status, 403);
        assert_eq!(
            site.request("GET", &format!("/{}/file/pdf", site.token), &[(name, value)], b"").status,
            403
        );
    }
    // What a form of another site can send without being asked first.
    for kind in ["text/plain", "application/x-www-form-urlencoded", "multipart/form-data; boundary=x", ""] {
        assert_eq!(
            site.request("POST", &path, &[("Content-Type", kind)], body.as_bytes()).status,
            415,
            "{kind}"
        );
    }
    // A browser's question before a cross-site post finds nobody who would allow it.
    let asked = site.request(
        "OPTIONS",
        &path,
        &[("Origin", "http://evil.example"), ("Access-Control-Request-Method", "POST")],
        b"",
    );
    assert!(asked.status >= 400 && !asked.head.contains("Access-Control-Allow"), "{}", asked.head);
    for method in ["PUT", "DELETE", "GET", "HEAD"] {
        assert!(site.request(method, &path, &[json], b"").status >= 400, "{method}");
    }
    assert_eq!(site.ask(json!({ "ask": "state" }))["turn"], 0, "nothing of it was done");
    let own = format!("http://127.0.0.1:{}", site.port);
    assert_eq!(
        site.request(
            "POST",
            &path,
            &[json, ("Origin", &own), ("Sec-Fetch-Site", "same-origin")],
            body.as_bytes()
        )
        .status,
        200
    );
    assert_eq!(site.ask(json!({ "ask": "state" }))["turn"], 1);
}

#[test]
fn who_does_not_know_the_address_finds_nothing() {
    let bench = Bench::new();
    let site = Site::start(&bench, &[]);
    let wrong = "0".repeat(32);
    let short = &site.token[..31];
    for path in [
        "/",
        "/ask",
        "/index.html",
        &format!("/{wrong}/"),
        &format!("/{wrong}/ask"),
        &format!("/{short}/"),
        &format!("/{}x/", site.token),
        &format!("/{}", site.token),
        &format!("//{}/", site.token),
        "*",
    ] {
        let reply = site.request("GET", path, &[], b"");
        assert_eq!(reply.status, 404, "{path}: {}", reply.head);
        assert!(!reply.head.contains(&site.token) && reply.body.is_empty());
    }
}

/// Other users may list how programs were started: what the browser is started with is good once.
#[cfg(target_os = "linux")]
#[test]
fn what_the_browser_is_started_with_is_good_once() {
    use std::os::unix::fs::PermissionsExt;
    let bench = Bench::new();
    let (told, opener) = (bench.path("told"), bench.path("xdg-open"));
    let script = format!("#!/bin/sh\nprintf %s \"$1\" > '{0}.new'\nmv '{0}.new' '{0}'\n", told.display());
    fs::write(&opener, script).expect("a script");
    fs::set_permissions(&opener, fs::Permissions::from_mode(0o755)).expect("made to run");
    let mut command = Command::new(env!("CARGO_BIN_EXE_sawpierce"));
    command.args(["open", "--port", "0"]);
    command.env("PATH", format!("{}:/usr/bin:/bin", bench.path("").display()));
    let site = Site::of(&bench, command);
    let since = Instant::now();
    let address = loop {
        match fs::read_to_string(&told) {
            Ok(address) => break address,
            Err(_) if since.elapsed() > Duration::from_secs(20) => panic!("no browser was started"),
            Err(_) => std::thread::sleep(Duration::from_millis(20)),
        }
    };
    assert!(!address.contains(&site.token), "{address}");
    let ticket = address.trim_end_matches('/').rsplit('/').next().expect("a ticket");
    // A question cannot be put with it, and does not use it up.
    let json = [("Content-Type", "application/json")];
    assert_eq!(site.request("POST", &format!("/{ticket}/ask"), &json, b"{}").status, 404);
    let enter = || site.request("GET", &format!("/{ticket}/"), &[], b"");
    let first = enter();
    assert_eq!(first.status, 303);
    assert!(first.head.contains(&format!("Location: /{}/", site.token)), "{}", first.head);
    assert_eq!(enter().status, 404);
}

#[test]
fn no_path_on_disk_is_taken_from_the_browser() {
    let bench = Bench::new();
    bench.put("moth.toml", DISC).put("secret.txt", "secret");
    let site = Site::start(&bench, &["moth.toml"]);
    for path in [
        "../secret.txt",
        "..%2fsecret.txt",
        "%2e%2e/secret.txt",
        "secret.txt",
        "js/../../secret.txt",
        "/etc/passwd",
        "file//etc/passwd",
        "file/..%2f..%2fsecret.txt",
        "file/job/../../secret.txt",
        "js/..\\..\\secret.txt",
        "moth.toml",
    ] {
        let reply = site.get(path);
        assert!(reply.status >= 400, "{path}: {}", reply.head);
        assert!(
            !String::from_utf8_lossy(&reply.body).contains("root:")
                && !reply.body.windows(6).any(|w| w == b"secret")
                || reply.status == 409,
            "{path}"
        );
    }
    // A job that names a file of the disk gets none: files come with the question.
    let job = DISC.replace("shape = \"circle\"\ndiameter = 30", "shape = \"file\"\nfile = \"/etc/passwd\"");
    let answer = site.ask(json!({ "ask": "open", "text": job, "name": "../../x.toml" }));
    assert_eq!((answer["ok"].as_bool(), &answer["needs"]), (Some(false), &json!(["/etc/passwd"])));
    // The name of an opened job is a name only: nothing is written under it.
    let answer = site.ask(json!({ "ask": "open", "text": DISC, "name": "../../x.toml" }));
    assert_eq!(answer["ok"], true);
    site.ask(wide(31.0));
    assert_eq!(site.ask(json!({ "ask": "save", "path": "/tmp/x.toml" }))["ok"], false);
    std::thread::sleep(Duration::from_millis(900));
    assert_eq!(bench.names(), ["moth.toml", "secret.txt"]);
    assert_eq!(site.get("file/job").head.matches("filename=\"x.toml\"").count(), 1);
}

#[test]
fn questions_that_are_too_long_or_cut_short_are_turned_away() {
    let bench = Bench::new();
    let site = Site::start(&bench, &[]);
    let path = format!("/{}/ask", site.token);
    let json = ("Content-Type", "application/json");
    let long = site.request("POST", &path, &[json, ("Content-Length", "9000000000")], b"{}");
    assert_eq!(long.status, 413, "{}", long.head);
    let chunked = format!(
        "POST {path} HTTP/1.1\r\nHost: 127.0.0.1:{}\r\nConnection: close\r\nContent-Type: application/json\r\nTransfer-Encoding: chunked\r\n\r\n2\r\n{{}}\r\n0\r\n\r\n",
        site.port
    );
    assert_eq!(site.raw(chunked.as_bytes()).status, 411);
    for bad in
        ["not json", "[]", "{\"ask\": 3}", "{\"ask\": \"edit\", \"edits\": 7}", &"[".repeat(100_000), "\u{0}"]
    {
        let reply = site.request("POST", &path, &[json], bad.as_bytes());
        assert_eq!(reply.status, 200, "{}", reply.head);
        let answer: Value = serde_json::from_slice(&reply.body).expect("JSON");
        assert_eq!(answer["ok"], false, "{answer}");
    }
    let reply = site.request("POST", &path, &[json], b"\xff\xfe");
    assert_eq!(reply.status, 415);
    for junk in [
        "\r\n\r\n",
        "GET\r\n\r\n",
        "GET / HTTP/9\r\n\r\n",
        "POST /x HTTP/1.1\r\nContent-Length: -1\r\n\r\n",
        "\u{0}\u{1}\u{2}\r\n\r\n",
    ] {
        let mut stream = TcpStream::connect(("127.0.0.1", site.port)).expect("it listens");
        let _ = stream.write_all(junk.as_bytes());
        drop(stream);
    }
    assert_eq!(site.ask(json!({ "ask": "state" }))["ok"], true, "it answers on");
}

#[test]
fn slow_readers_and_idle_callers_do_not_keep_others_waiting() {
    let bench = Bench::new();
    let site = Site::start(&bench, &[]);
    let idle: Vec<TcpStream> = (0..100)
        .filter_map(|_| {
            let mut stream = TcpStream::connect(("127.0.0.1", site.port)).ok()?;
            stream.write_all(b"POST /x/ask HTTP/1.1\r\nHost: ").ok()?;
            Some(stream)
        })
        .collect();
    assert!(idle.len() > 90);
    let since = Instant::now();
    assert_eq!(site.ask(json!({ "ask": "state" }))["ok"], true);
    assert!(since.elapsed() < Duration::from_secs(20), "{:?}", since.elapsed());
}

#[test]
fn one_job_does_not_keep_the_next_waiting() {
    let bench = Bench::new();
    // Thousands of openings with a stop: mending it takes seconds.
    let large =
        DISC.replace("diameter = 30", "diameter = 300").replace("pitch = 6", "pitch = 6\nbridge = 0.6");
    bench.put("large.toml", &large);
    let site = Site::start(&bench, &["large.toml"]);
    std::thread::scope(|scope| {
        let slow: Vec<_> =
            (0..4).map(|_| scope.spawn(|| site.ask(json!({ "ask": "mend", "cautions": true })))).collect();
        std::thread::sleep(Duration::from_millis(300));
        // The next job is small: it is answered while the old one's questions are dropped or still at work.
        let small = site.ask(json!({ "ask": "text", "text": DISC }));
        assert_eq!(small["ok"], true, "{small}");
        assert_eq!(small["numbers"]["findings"]["stop"], 0);
        assert!(
            !slow.iter().all(|s| s.is_finished()),
            "the old questions were done before the new one was asked"
        );
        let dropped = slow.into_iter().filter(|_| true).map(|s| s.join().expect("answered"));
        assert!(dropped.filter(|answer| answer["superseded"] == true).count() >= 3);
    });
}

#[test]
fn work_is_kept_beside_the_job_until_it_is_saved() {
    let bench = Bench::new();
    bench.put("moth.toml", DISC);
    {
        let site = Site::start(&bench, &["moth.toml"]);
        assert_eq!(site.ask(json!({ "ask": "where" }))["says"], "saved in moth.toml");
        site.ask(wide(33.0));
        let at = site.until_safe();
        assert_eq!(at["says"], "kept in moth-kept.toml, not yet saved in moth.toml", "{at}");
        assert!(bench.text("moth-kept.toml").contains("diameter = 33"));
        assert_eq!(bench.text("moth.toml"), DISC, "the job file is the maker's");
    }
    // Opened again it goes on from there, and undo leads back to the file.
    let site = Site::start(&bench, &["moth.toml"]);
    let state = site.ask(json!({ "ask": "state" }));
    assert!(state["text"].as_str().is_some_and(|t| t.contains("diameter = 33")), "{state}");
    let saved = site.ask(json!({ "ask": "save" }));
    assert_eq!(
        (saved["ok"].as_bool(), saved["says"].as_str()),
        (Some(true), Some("saved in moth.toml")),
        "{saved}"
    );
    assert!(bench.text("moth.toml").contains("diameter = 33"));
    assert_eq!(bench.names(), ["moth.toml"], "what was kept is no longer needed");
    let back = site.ask(json!({ "ask": "undo" }));
    assert_eq!(back["text"], DISC);
}

#[test]
fn what_another_program_wrote_is_never_written_over() {
    let bench = Bench::new();
    bench.put("moth.toml", DISC);
    let (one, two) = (Site::start(&bench, &["moth.toml"]), Site::start(&bench, &["moth.toml"]));
    one.ask(wide(31.0));
    one.until_safe();
    two.ask(wide(32.0));
    let at = two.until_safe();
    assert!(
        at["says"]
            .as_str()
            .is_some_and(|s| s.contains("moth-kept-2.toml, since another program writes moth-kept.toml")),
        "{at}"
    );
    assert!(bench.text("moth-kept.toml").contains("= 31") && bench.text("moth-kept-2.toml").contains("= 32"));
    // The job file changed in an editor meanwhile is not saved over either.
    assert_eq!(one.ask(json!({ "ask": "save" }))["ok"], true);
    let refused = two.ask(json!({ "ask": "save" }));
    assert_eq!(refused["ok"], false, "{refused}");
    assert!(bench.text("moth.toml").contains("= 31") && bench.text("moth-kept-2.toml").contains("= 32"));
}

#[test]
fn a_full_disk_is_told_and_loses_nothing_that_stood_there() {
    let bench = Bench::new();
    bench.put("moth.toml", DISC).put("moth-kept.toml", &DISC.replace("= 30", "= 34"));
    let mut command = Command::new("sh");
    // No file may grow at all: what a full disk does, for this program alone.
    command.args([
        "-c",
        "trap '' XFSZ; ulimit -f 0; exec \"$0\" open moth.toml --no-browser --port 0",
        env!("CARGO_BIN_EXE_sawpierce"),
    ]);
    let site = Site::of(&bench, command);
    assert!(site.ask(wide(35.0))["ok"] == true);
    std::thread::sleep(Duration::from_millis(1500));
    let at = site.ask(json!({ "ask": "where" }));
    assert_eq!(at["safe"], false, "{at}");
    assert!(
        at["says"].as_str().is_some_and(|s| s.starts_with("NOT KEPT: moth-kept.toml cannot be written")),
        "{at}"
    );
    assert!(bench.text("moth-kept.toml").contains("= 34") && bench.text("moth.toml") == DISC);
    assert_eq!(site.ask(json!({ "ask": "save" }))["ok"], false);
    assert_eq!(bench.text("moth.toml"), DISC);
    // The work itself is still on the page.
    assert!(site.ask(json!({ "ask": "state" }))["text"].as_str().is_some_and(|t| t.contains("= 35")));
}

#[test]
fn killed_fifty_times_nothing_is_lost_but_the_last_second() {
    let bench = Bench::new();
    bench.put("moth.toml", DISC);
    let mut mm = 30.0;
    for round in 0..50 {
        let mut site = Site::start(&bench, &["moth.toml"]);
        let found = site.ask(json!({ "ask": "state" }))["text"].as_str().unwrap_or_default().to_string();
        // Whatever stands there is a whole job, and no older than a second before the kill.
        assert!(found.contains(&format!("diameter = {mm}")), "round {round}: {mm} lost:\n{found}");
        let mut done = Vec::new();
        let since = Instant::now();
        // Edits as fast as they are answered, for a while that differs from round to round.
        while since.elapsed() < Duration::from_millis(900 + 37 * (round % 7)) {
            mm = (mm * 100.0 + 1.0_f64).round() / 100.0;
            let at = Instant::now();
            assert_eq!(site.ask(wide(mm))["ok"], true);
            done.push((at, mm));
            std::thread::sleep(Duration::from_millis(5));
        }
        site.child.kill().expect("killed");
        let killed = Instant::now();
        let _ = site.child.wait();
        let kept = fs::read_to_string(bench.path("moth-kept.toml")).expect("work was kept");
        let kept: f64 = kept
            .lines()
            .find_map(|l| l.strip_prefix("diameter = "))
            .and_then(|v| v.parse().ok())
            .expect("a whole job");
        // A machine that stands still between two answers stands still for the disk as well.
        let pauses = done.windows(2).map(|w| w[1].0.duration_since(w[0].0));
        let allowed = Duration::from_secs(1) + 4 * pauses.max().unwrap_or_default();
        let mut due = done.iter().filter(|(at, _)| killed.duration_since(*at) > allowed).map(|(_, mm)| *mm);
        assert!(
            due.clone().all(|mm| mm <= kept + 1e-9),
            "round {round}: kept {kept}, done a second before: {:?}",
            due.next_back()
        );
        mm = kept;
    }
}
