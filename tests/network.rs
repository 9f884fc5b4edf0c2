//! The program has no code that could talk to a network: not in its own files, not in a crate it is built from.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)] // a lock file that cannot be read is a failed test

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

/// Crates that are made for networks, or open sockets for those that are.
const FOR_NETWORKS: [&str; 28] = [
    "actix-rt",
    "async-std",
    "attohttpc",
    "curl",
    "curl-sys",
    "h2",
    "hickory-resolver",
    "hyper",
    "hyper-util",
    "isahc",
    "minreq",
    "native-tls",
    "openssl",
    "openssl-sys",
    "quinn",
    "reqwest",
    "rustls",
    "schannel",
    "security-framework",
    "smol",
    "socket2",
    "ssh2",
    "surf",
    "tiny_http",
    "tokio",
    "trust-dns-resolver",
    "tungstenite",
    "ureq",
];

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// Each package of the lock file with the names of what it may use, whatever the system or feature.
fn lock_file() -> BTreeMap<String, BTreeSet<String>> {
    let text = fs::read_to_string(root().join("Cargo.lock")).unwrap();
    let mut packages: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    for package in text.split("[[package]]").skip(1) {
        let name = package.split("name = \"").nth(1).unwrap().split('"').next().unwrap();
        let used = packages.entry(name.to_owned()).or_default();
        if let Some(list) = package.split("dependencies = [").nth(1) {
            let names = list.split(']').next().unwrap().split('"').skip(1).step_by(2);
            used.extend(names.map(|name| name.split(' ').next().unwrap().to_owned()));
        }
    }
    packages
}

/// What `cargo tree` says, with the features of each crate; nothing if it cannot say (the sources are not all at hand).
fn tree(format: &str) -> Option<Vec<String>> {
    let output = Command::new(env!("CARGO"))
        .args(["tree", "--locked", "--offline", "-e", "normal,build", "--prefix", "none", "--format", format])
        .current_dir(root())
        .output()
        .unwrap();
    output.status.success().then(|| String::from_utf8(output.stdout).unwrap().lines().map(str::to_owned).collect())
}

#[test]
fn no_crate_in_the_lock_file_is_made_for_networks() {
    let packages = lock_file();
    assert!(packages.len() > 80 && packages["bedfellow"].contains("ratatui"), "the lock file is not read");
    let found: Vec<_> = FOR_NETWORKS.iter().filter(|name| packages.contains_key(**name)).collect();
    assert!(found.is_empty(), "for networks: {found:?}");
}

#[test]
fn no_crate_in_the_tree_is_made_for_networks_and_sockets_only_wake_the_terminal() {
    let tree = tree("{p} [{f}]").expect("cargo tree says what is in the tree that has just been built");
    assert!(tree.len() > 50, "{tree:?}");
    for line in &tree {
        let name = line.split(' ').next().unwrap();
        assert!(!FOR_NETWORKS.contains(&name), "{line}");
        let features: Vec<&str> =
            line.rsplit('[').next().unwrap().trim_end_matches([']', '*', ' ', ')', '(']).split(',').collect();
        assert!(name == "mio" || !features.contains(&"net"), "sockets are switched on: {line}");
    }
    // mio waits for events of every kind. It comes with crossterm, which waits with it for keys, and signal-hook-mio switches its sockets on
    // for a pair within the process, by which a signal wakes it. Nobody else may use it.
    let uses_mio = lock_file().into_iter().filter(|(_, used)| used.contains("mio")).map(|(name, _)| name);
    assert_eq!(uses_mio.collect::<Vec<_>>(), ["crossterm", "signal-hook-mio"]);
}

#[test]
fn no_file_of_ours_names_the_network_or_starts_a_program() {
    let mut folders = vec![root().join("src")];
    let mut files: Vec<PathBuf> = Vec::new();
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            // What is in a folder of tests is not built into the program.
            let is_of_tests = path.file_name().is_some_and(|name| name == "tests");
            if path.is_dir() && !is_of_tests {
                folders.push(path);
            } else if path.is_file() {
                files.push(path);
            }
        }
    }
    assert!(files.len() > 100);
    for path in files.iter().filter(|path| path.extension().is_some_and(|extension| extension == "rs")) {
        let text = fs::read_to_string(path).unwrap();
        // A program that is started could do what this one does not.
        for word in [
            "std::net",
            "net::Tcp",
            "TcpStream",
            "TcpListener",
            "UdpSocket",
            "UnixStream",
            "process::Command",
            "Command::new(",
        ] {
            assert!(!text.contains(word), "{} names {word}", path.display());
        }
    }
}
