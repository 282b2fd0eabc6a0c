//! Other programs, run from the top of the project.

use anyhow::{Context, Result, ensure};
use std::env;
use std::panic::resume_unwind;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::thread;

/// The folder that holds the project.
pub fn top() -> &'static Path {
    let xtask = Path::new(env!("CARGO_MANIFEST_DIR"));
    xtask
        .ancestors()
        .nth(2)
        .expect("xtask lies two folders below the top")
}

/// A command to be run from the top of the project, from words parted by spaces.
pub fn command(line: &str) -> Command {
    let mut words = line.split_whitespace();
    let mut command = Command::new(words.next().expect("a command line starts with a program"));
    command.args(words).current_dir(top()).stdin(Stdio::null());
    command
}

/// Runs a command to its end. A failure quotes the command as a person would type it.
pub fn run(command: &mut Command) -> Result<()> {
    let line = written_out(command);
    let status = command
        .status()
        .with_context(|| format!("cannot start `{line}`"))?;
    ensure!(status.success(), "`{line}` failed ({status})");
    Ok(())
}

/// Does two things at the same time, both to their end.
pub fn together<A, B: Send>(
    one: impl FnOnce() -> Result<A>,
    other: impl FnOnce() -> Result<B> + Send,
) -> Result<(A, B)> {
    let (one, other) = thread::scope(|scope| {
        let other = scope.spawn(other);
        (one(), other.join())
    });
    let other = other.unwrap_or_else(|panic| resume_unwind(panic));
    Ok((one?, other?))
}

/// Where a program of this name lies on the `PATH`.
pub fn on_path(program: &str) -> Option<PathBuf> {
    env::split_paths(&env::var_os("PATH")?)
        .map(|folder| folder.join(program))
        .find(|file| file.is_file())
}

fn written_out(command: &Command) -> String {
    let variables = command.get_envs().filter_map(|(name, value)| {
        let value = value?.to_string_lossy();
        Some(format!("{}={value}", name.to_string_lossy()))
    });
    let program = std::iter::once(command.get_program());
    let words = program.chain(command.get_args());
    variables
        .chain(words.map(|word| word.to_string_lossy().into_owned()))
        .collect::<Vec<_>>()
        .join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_failure_quotes_the_whole_command() {
        let error = run(command("rustc --no-such-flag").env("SHADE", "deep")).unwrap_err();
        let message = error.to_string();
        assert!(
            message.starts_with("`SHADE=deep rustc --no-such-flag` failed"),
            "{message}"
        );
    }

    #[test]
    fn a_program_that_is_not_there_is_named() {
        let error = run(&mut command("no-such-program-here")).unwrap_err();
        assert_eq!(error.to_string(), "cannot start `no-such-program-here`");
    }
}
