//! Nothing is run and nothing is fetched: no source of ours names what could, and nothing that the core
//! is built of is made for it. `tests/faults.sh` shows the same of the program while it works.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn rust_files(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            rust_files(&path, found);
        } else if path.extension().is_some_and(|end| end == "rs") {
            found.push(path);
        }
    }
}

#[test]
fn no_source_names_what_runs_a_program_or_opens_a_connection() {
    const NAMES: [&str; 13] = [
        "process::Command",
        "Command::new",
        "std::net",
        "TcpStream",
        "TcpListener",
        "UdpSocket",
        "UnixStream",
        "UnixListener",
        "ToSocketAddrs",
        "CommandExt",
        "libloading",
        "extern \"C\"",
        "x11rb",
    ];
    // Whether there is a display to draw on is found out by calling on the X server that the
    // environment names, as every program with a window does; nothing is asked of it.
    const MAY: [&str; 1] = ["src/viewer/device.rs"];
    let mut files = Vec::new();
    rust_files(&root().join("src"), &mut files);
    assert!(files.len() > 400);
    let mut found = Vec::new();
    for path in files {
        let name = path
            .strip_prefix(root())
            .unwrap()
            .to_str()
            .unwrap()
            .replace('\\', "/");
        if MAY.contains(&name.as_str()) {
            continue;
        }
        let text = fs::read_to_string(&path).unwrap();
        for (at, line) in text.lines().enumerate() {
            let code = line.split("//").next().unwrap();
            if NAMES.iter().any(|word| code.contains(word)) {
                found.push(format!("{name}:{}: {}", at + 1, line.trim()));
            }
        }
    }
    assert!(found.is_empty(), "{}", found.join("\n"));
}

/// What each package in the lock file asks for, on any system and with any feature.
fn locked() -> BTreeMap<String, BTreeSet<String>> {
    let text = fs::read_to_string(root().join("Cargo.lock")).unwrap();
    let mut all: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    let (mut package, mut listing) = (String::new(), false);
    for line in text.lines() {
        if let Some(name) = line.strip_prefix("name = ") {
            name.trim_matches('"').clone_into(&mut package);
            all.entry(package.clone()).or_default();
        }
        listing = (listing || line == "dependencies = [") && line != "]";
        if listing && let Some(asked) = line.strip_prefix(" \"") {
            let name = asked.split([' ', '"']).next().unwrap();
            all.entry(package.clone())
                .or_default()
                .insert(name.to_owned());
        }
    }
    all
}

/// What the core itself asks for: not the window's, and not the tests'.
fn asked_by_the_core() -> Vec<String> {
    let text = fs::read_to_string(root().join("Cargo.toml")).unwrap();
    let (_, after) = text.split_once("\n[dependencies]\n").unwrap();
    let (own, _) = after.split_once("\n[").unwrap();
    own.lines()
        .filter(|line| !line.contains("optional = true"))
        .filter_map(|line| {
            let (name, rest) = line.split_once(" = ")?;
            let named = rest.split_once("package = \"");
            let name = named.map_or(name, |(_, rest)| rest.split('"').next().unwrap());
            let plain = |c: char| c.is_alphanumeric() || c == '-' || c == '_';
            name.chars().all(plain).then(|| name.to_owned())
        })
        .collect()
}

#[test]
fn nothing_that_the_core_is_built_of_is_made_to_run_or_to_fetch() {
    // Clients, servers, sockets and their layers; runtimes for them; what starts programs or browsers.
    const MADE_FOR_IT: [&str; 28] = [
        "reqwest",
        "hyper",
        "ureq",
        "curl",
        "isahc",
        "attohttpc",
        "minreq",
        "surf",
        "tokio",
        "async-std",
        "smol",
        "mio",
        "socket2",
        "async-net",
        "async-io",
        "quinn",
        "tungstenite",
        "rustls",
        "native-tls",
        "openssl",
        "webbrowser",
        "open",
        "opener",
        "duct",
        "subprocess",
        "async-process",
        "libloading",
        "zbus",
    ];
    let locked = locked();
    let mut seen = BTreeSet::new();
    let mut left = asked_by_the_core();
    assert!(
        left.iter().any(|name| name == "parry3d-f64") && left.len() > 20,
        "{left:?}"
    );
    while let Some(name) = left.pop() {
        if seen.insert(name.clone()) {
            let asks = locked
                .get(&name)
                .unwrap_or_else(|| panic!("{name} is not locked"));
            left.extend(asks.iter().cloned());
        }
    }
    assert!(seen.len() > 100, "{}", seen.len());
    let found: Vec<&str> = MADE_FOR_IT
        .into_iter()
        .filter(|name| seen.contains(*name))
        .collect();
    assert!(found.is_empty(), "{found:?}");
}
