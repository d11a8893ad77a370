//! A node that serves, for as long as a test needs it.

use std::io::{BufRead, BufReader};
use std::process::{Child, Command, Stdio};

/// A serving node, ended when dropped.
pub(crate) struct Serving(Child);

impl Serving {
    /// Starts the command and waits until the node says that it is ready.
    pub(crate) fn start(mut command: Command) -> Self {
        let mut child = command.stdout(Stdio::piped()).stderr(Stdio::null()).spawn().expect("starts");
        let lines = BufReader::new(child.stdout.take().expect("piped")).lines();
        let is_ready = lines.map_while(Result::ok).any(|line| line.starts_with("ready "));
        let serving = Self(child);
        assert!(is_ready, "the node ended before it was ready");
        serving
    }
}

impl Drop for Serving {
    fn drop(&mut self) {
        // It may have ended by itself.
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}
