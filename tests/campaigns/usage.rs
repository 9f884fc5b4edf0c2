//! What a process has used, where the system tells (Linux, proc(5)).

use std::time::Duration;

/// What a process has used so far.
#[derive(Debug, Clone, Copy, Default)]
pub struct Used {
    /// Largest resident set.
    pub peak_kb: Option<u64>,
    /// Processor time of all threads.
    pub worked: Option<Duration>,
}

impl Used {
    pub fn of(process: u32) -> Self {
        let mut used = Self::default();
        used.look_again(process);
        used
    }

    pub fn by_this_process() -> Self {
        Self::of(std::process::id())
    }

    /// Once a process has gone nothing is known, and what was known stays.
    pub fn look_again(&mut self, process: u32) {
        let read = |file: &str| std::fs::read_to_string(format!("/proc/{process}/{file}")).ok();
        self.peak_kb = self.peak_kb.max(read("status").as_deref().and_then(peak_kb));
        self.worked = self.worked.max(read("stat").as_deref().and_then(worked));
    }
}

fn peak_kb(status: &str) -> Option<u64> {
    status.lines().find_map(|line| line.strip_prefix("VmHWM:")?.trim().strip_suffix(" kB")?.trim().parse().ok())
}

/// Of user and system together; a tick is a hundredth of a second wherever Linux runs on a desk.
fn worked(stat: &str) -> Option<Duration> {
    // The name before may hold anything.
    let (_, after) = stat.rsplit_once(')')?;
    let ticks: Vec<u64> = after.split_whitespace().skip(11).take(2).filter_map(|field| field.parse().ok()).collect();
    (ticks.len() == 2).then(|| Duration::from_millis(10 * ticks.iter().sum::<u64>()))
}
