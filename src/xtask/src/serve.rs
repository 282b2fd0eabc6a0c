//! A small server for the finished site, on this machine.

use crate::site;
use anyhow::{Context, Result, anyhow};
use std::fs;
use std::io::{Cursor, ErrorKind};
use std::net::{SocketAddr, TcpListener, ToSocketAddrs};
use std::path::{Component, Path, PathBuf};
use tiny_http::{Header, Request, Response, Server};

/// How many further ports are tried when the wanted one is taken.
const FURTHER_PORTS: u16 = 50;

/// Builds the site and serves it until the program is stopped.
pub fn serve(address: &str) -> Result<()> {
    // A wrong address comes to light before the build, not after it.
    let listener = listen(address)?;
    let site = site::build()?;
    eprintln!("\n    Lentic is at http://{}/", listener.local_addr()?);
    eprintln!("    Ctrl+C stops it.\n");
    answer_all(listener, &site)
}

/// Listens at the address, or at the next free port where that one is taken.
fn listen(address: &str) -> Result<TcpListener> {
    let wanted = address
        .to_socket_addrs()
        .ok()
        .and_then(|mut found| found.next())
        .with_context(|| format!("`{address}` is no address; write one like 127.0.0.1:8080"))?;
    let last = wanted.port().saturating_add(FURTHER_PORTS);
    for port in wanted.port()..=last {
        match TcpListener::bind(SocketAddr::new(wanted.ip(), port)) {
            Err(error) if error.kind() == ErrorKind::AddrInUse => {}
            result => return result.with_context(|| format!("cannot listen at {wanted}")),
        }
    }
    Err(anyhow!(
        "every port from {} to {last} is taken",
        wanted.port()
    ))
}

fn answer_all(listener: TcpListener, site: &Path) -> Result<()> {
    let server = Server::from_listener(listener, None).map_err(|error| anyhow!(error))?;
    for request in server.incoming_requests() {
        answer(request, site);
    }
    Ok(())
}

fn answer(request: Request, site: &Path) {
    let response = file_name(request.url())
        .and_then(|name| Some(found(fs::read(site.join(&name)).ok()?, &name)))
        .unwrap_or_else(|| Response::from_string("There is no such file.").with_status_code(404));
    // A visitor who has gone away is no reason to stop serving the others.
    request.respond(response).ok();
}

fn found(bytes: Vec<u8>, name: &Path) -> Response<Cursor<Vec<u8>>> {
    Response::from_data(bytes)
        .with_header(header("Content-Type", media_type(name)))
        .with_header(header("Cache-Control", "no-cache"))
}

/// The file below the site that a request means; none if it would lead out of the site.
fn file_name(url: &str) -> Option<PathBuf> {
    let path = url.split(['?', '#']).next()?.strip_prefix('/')?;
    let mut name = PathBuf::from(path);
    if path.is_empty() || path.ends_with('/') {
        name.push("index.html");
    }
    let inside = name
        .components()
        .all(|part| matches!(part, Component::Normal(_)));
    inside.then_some(name)
}

fn media_type(name: &Path) -> &'static str {
    match name.extension().and_then(|ending| ending.to_str()) {
        Some("html") => "text/html; charset=utf-8",
        Some("js") => "text/javascript; charset=utf-8",
        Some("css") => "text/css; charset=utf-8",
        Some("json") => "application/json",
        Some("rules") => "text/plain; charset=utf-8",
        Some("svg") => "image/svg+xml",
        Some("wasm") => "application/wasm",
        Some("webmanifest") => "application/manifest+json",
        _ => "application/octet-stream",
    }
}

fn header(name: &str, value: &str) -> Header {
    Header::from_bytes(name, value).expect("the headers written above are plain ASCII")
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::io::{Read, Write};
    use std::net::TcpStream;

    #[test]
    fn a_folder_means_its_index() {
        assert_eq!(file_name("/"), Some("index.html".into()));
        assert_eq!(file_name("/?demo"), Some("index.html".into()));
        assert_eq!(file_name("/parts/"), Some("parts/index.html".into()));
        assert_eq!(
            file_name("/pkg/lentic.js?v=1"),
            Some("pkg/lentic.js".into())
        );
    }

    #[test]
    fn no_request_leads_out_of_the_site() {
        for url in [
            "/../Cargo.toml",
            "/pkg/../../x",
            "//etc/passwd",
            "/..",
            "x",
            "http://a/b",
        ] {
            assert_eq!(file_name(url), None, "{url}");
        }
    }

    fn ask(address: SocketAddr, url: &str) -> String {
        let mut stream = TcpStream::connect(address).unwrap();
        write!(
            stream,
            "GET {url} HTTP/1.1\r\nHost: pond\r\nConnection: close\r\n\r\n"
        )
        .unwrap();
        let mut answer = String::new();
        stream.read_to_string(&mut answer).unwrap();
        answer
    }

    #[test]
    fn a_file_comes_with_its_media_type_and_an_encoded_escape_with_nothing() {
        let listener = listen("127.0.0.1:0").unwrap();
        let address = listener.local_addr().unwrap();
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
        std::thread::spawn(move || answer_all(listener, &folder));

        let file = ask(address, "/serve.rs");
        assert!(file.starts_with("HTTP/1.1 200 "), "{file}");
        assert!(
            file.contains("Content-Type: application/octet-stream\r\n"),
            "{file}"
        );
        assert!(file.contains("Cache-Control: no-cache\r\n"), "{file}");
        for url in ["/%2e%2e/Cargo.toml", "/no-such-file", "/"] {
            let answer = ask(address, url);
            assert!(answer.starts_with("HTTP/1.1 404 "), "{url}: {answer}");
        }
    }

    // IANA's media types registry; text/javascript by RFC 9239. Browsers compile
    // wasm while it loads only from `application/wasm` (WebAssembly Web API, 2019).
    #[test]
    fn media_types_are_the_registered_ones() {
        for (name, media) in [
            ("pkg/lentic_bg.wasm", "application/wasm"),
            ("main.js", "text/javascript; charset=utf-8"),
            ("manifest.webmanifest", "application/manifest+json"),
            ("icon.svg", "image/svg+xml"),
        ] {
            assert_eq!(media_type(Path::new(name)), media);
        }
    }

    #[test]
    fn a_taken_port_gives_way_to_a_later_one() {
        let first = listen("127.0.0.1:0").unwrap().local_addr().unwrap();
        let holder = listen(&first.to_string()).unwrap();
        let taken = holder.local_addr().unwrap();
        let next = listen(&taken.to_string()).unwrap().local_addr().unwrap();
        assert!(next.port() > taken.port());
    }
}
