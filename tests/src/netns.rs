//! Networks of network namespaces: homes behind routers, friends in the open, machines that move.
//!
//! Everything is made inside namespaces of this process and removed when dropped; the default namespace is
//! never touched. Needs root, `ip` and `nft`.

use std::io::Write;
use std::process::{Command, Stdio};
use std::sync::atomic::{AtomicU32, Ordering};

use anyhow::{Context, ensure};

/// What a home's router does to addresses.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Nat {
    /// Keeps the port where it is free: the world sees the same port for every destination.
    Cone,
    /// Another random port for each destination.
    Symmetric,
}

/// Why no network can be made here; none when it can.
pub fn missing() -> Option<String> {
    let id = Command::new("id").arg("-u").output().ok()?;
    if String::from_utf8_lossy(&id.stdout).trim() != "0" {
        return Some("needs root".to_owned());
    }
    for program in ["ip", "nft"] {
        let found = Command::new(program).arg("-V").stdout(Stdio::null()).stderr(Stdio::null()).status();
        if found.is_err() {
            return Some(format!("needs the program {program}"));
        }
    }
    let probe = Network::new().space("probe").err();
    probe.map(|error| format!("namespaces cannot be made: {error:#}"))
}

/// Namespaces with cables between them.
#[derive(Debug)]
pub struct Network {
    prefix: String,
    spaces: Vec<String>,
    cables: u32,
}

impl Network {
    /// An empty one.
    #[must_use]
    pub fn new() -> Self {
        static NUMBER: AtomicU32 = AtomicU32::new(0);
        let number = NUMBER.fetch_add(1, Ordering::Relaxed);
        Self { prefix: format!("propagule-{}-{number}", std::process::id()), spaces: Vec::new(), cables: 0 }
    }

    /// Makes a machine.
    ///
    /// # Errors
    /// When the system refuses.
    pub fn space(&mut self, name: &str) -> anyhow::Result<String> {
        let space = format!("{}-{name}", self.prefix);
        run(&["ip", "netns", "add", &space])?;
        self.spaces.push(space.clone());
        run(&["ip", "-n", &space, "link", "set", "lo", "up"])?;
        Ok(space)
    }

    /// Makes a machine that only passes frames on: a local network, or the internet.
    ///
    /// # Errors
    /// When the system refuses.
    pub fn switch(&mut self, name: &str) -> anyhow::Result<String> {
        let space = self.space(name)?;
        run(&["ip", "-n", &space, "link", "add", "br0", "type", "bridge"])?;
        run(&["ip", "-n", &space, "link", "set", "br0", "up"])?;
        Ok(space)
    }

    /// Plugs a machine into a switch by a port `port` with an address such as `192.168.1.2/24`.
    ///
    /// # Errors
    /// When the system refuses.
    pub fn plug(&mut self, space: &str, port: &str, address: &str, switch: &str) -> anyhow::Result<()> {
        self.cables += 1;
        let far = format!("p{}", self.cables);
        let peer = ["type", "veth", "peer", "name", &far, "netns", switch];
        run(&[&["ip", "link", "add", port, "netns", space][..], &peer[..]].concat())?;
        run(&["ip", "-n", switch, "link", "set", &far, "master", "br0", "up"])?;
        run(&["ip", "-n", space, "address", "add", address, "dev", port])?;
        run(&["ip", "-n", space, "link", "set", port, "up"])
    }

    /// Makes a machine with an address of the internet.
    ///
    /// # Errors
    /// When the system refuses.
    pub fn host(&mut self, name: &str, address: &str, world: &str) -> anyhow::Result<String> {
        let space = self.space(name)?;
        self.plug(&space, "eth0", &format!("{address}/24"), world)?;
        Ok(space)
    }

    /// Makes a machine at 192.168.1.2 behind a router that has the given address of the internet and lets
    /// nothing in that was not asked for.
    ///
    /// # Errors
    /// When the system refuses.
    pub fn home(&mut self, name: &str, nat: Nat, address: &str, world: &str) -> anyhow::Result<String> {
        let (router, lan) = (self.space(&format!("{name}-router"))?, self.switch(&format!("{name}-lan"))?);
        self.plug(&router, "wan0", &format!("{address}/24"), world)?;
        self.plug(&router, "lan0", "192.168.1.1/24", &lan)?;
        let home = self.space(name)?;
        self.plug(&home, "eth0", "192.168.1.2/24", &lan)?;
        run(&["ip", "-n", &home, "route", "add", "default", "via", "192.168.1.1"])?;
        inside(&router, &["sh", "-c", "echo 1 > /proc/sys/net/ipv4/ip_forward"])?;
        let how = match nat {
            Nat::Cone => "masquerade",
            Nat::Symmetric => "masquerade fully-random",
        };
        let rules = format!(
            "table ip nat {{
               chain post {{ type nat hook postrouting priority 100; oifname wan0 {how}; }}
             }}
             table ip filter {{
               chain in {{ type filter hook input priority 0; iifname wan0 ct state new drop; }}
               chain through {{ type filter hook forward priority 0; iifname wan0 ct state new drop; }}
             }}"
        );
        filter(&router, &rules)?;
        Ok(home)
    }

    /// Lets a port of the router through to the home behind it, as a grower may.
    ///
    /// # Errors
    /// When the system refuses.
    pub fn let_through(&self, name: &str, port: u16) -> anyhow::Result<()> {
        let router = format!("{}-{name}-router", self.prefix);
        let rules = format!(
            "table ip nat {{
               chain pre {{ type nat hook prerouting priority -100; iifname wan0 tcp dport {port} dnat to 192.168.1.2; }}
             }}
             flush chain ip filter through
             add rule ip filter through iifname wan0 ct state new ct status dnat accept
             add rule ip filter through iifname wan0 ct state new drop"
        );
        filter(&router, &rules)
    }

    /// Drops everything that reaches a machine from now on, and says nothing.
    ///
    /// # Errors
    /// When the system refuses.
    pub fn fall_silent(&self, space: &str) -> anyhow::Result<()> {
        let rules = "table ip silent {
               chain in { type filter hook input priority 0; iifname != lo drop; }
             }";
        filter(space, rules)
    }

    /// Sends messages from a machine to all that look for nodes in its local network.
    ///
    /// # Errors
    /// When the system refuses.
    pub fn announce(&self, space: &str, messages: &[Vec<u8>]) -> anyhow::Result<()> {
        let folder = tempfile::tempdir()?;
        for (number, message) in messages.iter().enumerate() {
            std::fs::write(folder.path().join(number.to_string()), message)?;
        }
        run(&["ip", "-n", space, "route", "replace", "224.0.0.0/4", "dev", "eth0"])?;
        let each =
            format!("for m in {}/*; do cat $m > /dev/udp/224.0.0.251/5353; done", folder.path().display());
        inside(space, &["bash", "-c", &each])
    }

    /// Carries a machine to another switch, where it gets another address.
    ///
    /// # Errors
    /// When the system refuses.
    pub fn carry(&mut self, space: &str, address: &str, switch: &str) -> anyhow::Result<()> {
        run(&["ip", "-n", space, "link", "del", "eth0"])?;
        self.plug(space, "eth0", address, switch)
    }
}

impl Default for Network {
    fn default() -> Self {
        Self::new()
    }
}

impl Drop for Network {
    fn drop(&mut self) {
        for space in &self.spaces {
            // What cannot be removed is named nowhere: the test has its own result.
            let _ = run(&["ip", "netns", "del", space]);
        }
    }
}

fn inside(space: &str, words: &[&str]) -> anyhow::Result<()> {
    run(&[&["ip", "netns", "exec", space][..], words].concat())
}

/// Gives a machine rules for packets.
fn filter(space: &str, rules: &str) -> anyhow::Result<()> {
    let mut words = Command::new("ip");
    words.args(["netns", "exec", space, "nft", "--file", "-"]).stdin(Stdio::piped()).stderr(Stdio::piped());
    let mut child = words.spawn().context("nft starts")?;
    child.stdin.take().context("stdin is piped")?.write_all(format!("{rules}\n").as_bytes())?;
    let output = child.wait_with_output()?;
    ensure!(output.status.success(), "{rules}: {}", String::from_utf8_lossy(&output.stderr));
    Ok(())
}

fn run(words: &[&str]) -> anyhow::Result<()> {
    let output = Command::new(words[0]).args(&words[1..]).stdin(Stdio::null()).output().context("starts")?;
    let errors = String::from_utf8_lossy(&output.stderr);
    ensure!(output.status.success(), "{}: {errors}", words.join(" "));
    Ok(())
}
