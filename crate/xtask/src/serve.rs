//! A static server for dist/ on the loopback address.

use std::fs::File;
use std::net::{Ipv4Addr, SocketAddr, TcpListener};
use std::path::{Component, Path, PathBuf};
use std::sync::Arc;

use anyhow::{Context, Result, anyhow, bail};
use tiny_http::{Header, Method, Request, Response, Server};

use crate::bundle;

const FIRST_PORT: u16 = 8000;
const PORTS_TRIED: u16 = 50;
const THREADS: usize = 4;

/// What the page may load: itself, and nothing from anywhere else.
const CONTENT_POLICY: &str = "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; \
    img-src 'self' data: blob:; connect-src 'self'; worker-src 'self'; manifest-src 'self'; base-uri 'none'; \
    form-action 'none'";

/// A running server.
pub struct Running {
    server: Arc<Server>,
    /// Where it answers, with a slash at the end.
    pub address: String,
}

impl Drop for Running {
    fn drop(&mut self) {
        for _ in 0..THREADS {
            self.server.unblock();
        }
    }
}

/// Serves dist/ until the program is ended.
///
/// # Errors
/// When dist/ is missing or no port is free.
pub fn serve(port: Option<u16>) -> Result<()> {
    let running = start(port)?;
    println!("Trialplate is at {}   (end with Ctrl+C)", running.address);
    loop {
        std::thread::park();
    }
}

/// Starts serving dist/ on threads of its own.
///
/// # Errors
/// As [`serve`].
pub fn start(port: Option<u16>) -> Result<Running> {
    let folder = bundle::folder();
    if !folder.join("index.html").is_file() {
        bail!("dist/index.html is missing; run `cargo xtask build` first");
    }
    let listener = listen(port)?;
    let address = format!("http://{}/", listener.local_addr()?);
    let server = Server::from_listener(listener, None).map_err(|error| anyhow!("cannot serve: {error}"))?;
    let server = Arc::new(server);
    for _ in 0..THREADS {
        let (server, folder) = (Arc::clone(&server), folder.clone());
        std::thread::spawn(move || {
            while let Ok(request) = server.recv() {
                // A browser that hangs up early is no fault of ours.
                let _ = answer(request, &folder);
            }
        });
    }
    Ok(Running { server, address })
}

fn listen(port: Option<u16>) -> Result<TcpListener> {
    let at = |port| SocketAddr::from((Ipv4Addr::LOCALHOST, port));
    match port {
        Some(port) => TcpListener::bind(at(port)).with_context(|| format!("port {port} is not free")),
        None => (FIRST_PORT..FIRST_PORT + PORTS_TRIED)
            .find_map(|port| TcpListener::bind(at(port)).ok())
            .with_context(|| format!("no free port from {FIRST_PORT} on; name one with --port")),
    }
}

fn answer(request: Request, folder: &Path) -> std::io::Result<()> {
    if !matches!(request.method(), Method::Get | Method::Head) {
        return request.respond(headers(Response::from_string("only GET and HEAD"), "text/plain", 405));
    }
    match file_for(request.url(), folder).and_then(|path| Some((File::open(&path).ok()?, media_type(&path))))
    {
        Some((file, media_type)) => request.respond(headers(Response::from_file(file), media_type, 200)),
        None => {
            request.respond(headers(Response::from_string("not found"), "text/plain; charset=utf-8", 404))
        }
    }
}

fn headers<R: std::io::Read>(response: Response<R>, media_type: &str, status: u16) -> Response<R> {
    [
        ("Content-Type", media_type),
        ("Cache-Control", "no-cache"),
        ("X-Content-Type-Options", "nosniff"),
        ("Content-Security-Policy", CONTENT_POLICY),
        ("Referrer-Policy", "no-referrer"),
    ]
    .into_iter()
    .filter_map(|(name, value)| Header::from_bytes(name, value).ok())
    .fold(response.with_status_code(status), Response::with_header)
}

/// The file a request means; `None` when there is none inside the folder.
fn file_for(url: &str, folder: &Path) -> Option<PathBuf> {
    let path = url.split(['?', '#']).next()?;
    let relative = unescape(path.strip_prefix('/')?)?;
    let relative = Path::new(&relative);
    if relative.components().any(|part| !matches!(part, Component::Normal(_))) {
        return None;
    }
    let mut file = folder.join(relative);
    if file.is_dir() {
        file.push("index.html");
    }
    file.is_file().then_some(file)
}

fn unescape(path: &str) -> Option<String> {
    let mut bytes = Vec::with_capacity(path.len());
    let mut rest = path.bytes();
    while let Some(byte) = rest.next() {
        if byte == b'%' {
            let digit = |byte: Option<u8>| byte.and_then(|byte| char::from(byte).to_digit(16));
            let (high, low) = (digit(rest.next())?, digit(rest.next())?);
            bytes.push(u8::try_from(high * 16 + low).ok()?);
        } else {
            bytes.push(byte);
        }
    }
    let text = String::from_utf8(bytes).ok()?;
    // A back slash would be a separator on some systems.
    (!text.contains(['\0', '\\'])).then_some(text)
}

fn media_type(path: &Path) -> &'static str {
    match path.extension().and_then(|extension| extension.to_str()) {
        Some("html") => "text/html; charset=utf-8",
        Some("js" | "mjs") => "text/javascript; charset=utf-8",
        Some("css") => "text/css; charset=utf-8",
        Some("json") => "application/json",
        Some("wasm") => "application/wasm",
        Some("svg") => "image/svg+xml",
        Some("png") => "image/png",
        Some("webmanifest") => "application/manifest+json",
        Some("toml") => "application/toml",
        Some("ts" | "md" | "txt") => "text/plain; charset=utf-8",
        _ => "application/octet-stream",
    }
}

#[cfg(test)]
mod tests {
    use super::{file_for, unescape};
    use crate::shell;

    #[test]
    fn stays_inside_its_folder() {
        let folder = shell::root().join("crate");
        for url in [
            "/../Cargo.toml",
            "/%2e%2e/Cargo.toml",
            "/xtask/../../Cargo.toml",
            "//etc/passwd",
            "/..%5CCargo.toml",
        ] {
            assert_eq!(file_for(url, &folder), None, "{url}");
        }
        assert!(file_for("/xtask/Cargo.toml?x=1", &folder).is_some());
        assert!(file_for("/xtask/%43argo.toml", &folder).is_some());
    }

    #[test]
    fn broken_escapes_mean_no_file() {
        for path in ["%", "%4", "%zz", "%ff"] {
            assert_eq!(unescape(path), None, "{path}");
        }
    }
}
