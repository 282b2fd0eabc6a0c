//! Runs a test program compiled to wasm, in Node or in a headless browser.
//!
//! `.cargo/config.toml` names it as the runner for wasm, so plain
//! `cargo test --target wasm32-unknown-unknown --test web` works.

use wasm_bindgen_cli::wasm_bindgen_test_runner::run_cli_with_args;

fn main() -> anyhow::Result<()> {
    run_cli_with_args(std::env::args_os())
}
