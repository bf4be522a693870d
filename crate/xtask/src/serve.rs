//! A static server for dist/ on the loopback address.

use std::convert::Infallible;
use std::net::{Ipv4Addr, SocketAddr, TcpListener};
use std::path::{Component, Path, PathBuf};
use std::sync::Arc;

use anyhow::{Context, Result, bail};
use http_body_util::Full;
use hyper::body::Bytes;
use hyper::header::{self, HeaderName, HeaderValue};
use hyper::server::conn::http1;
use hyper::service::service_fn;
use hyper::{Method, Request, Response, StatusCode};
use hyper_util::rt::TokioIo;

use crate::{bundle, edition};

const FIRST_PORT: u16 = 8000;
const PORTS_TRIED: u16 = 50;

/// What the page may load: itself, and nothing from anywhere else.
const CONTENT_POLICY: &str = "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; \
    img-src 'self' data: blob:; connect-src 'self'; worker-src 'self'; manifest-src 'self'; base-uri 'none'; \
    form-action 'none'";

/// Serves dist/ until the program is ended.
///
/// # Errors
/// When dist/ is missing or no port is free.
pub fn serve(port: Option<u16>) -> Result<()> {
    let address = start(port)?;
    println!("Trialplate is at {address}   (end with Ctrl+C)");
    loop {
        std::thread::park();
    }
}

/// Starts serving dist/ on a thread of its own, until the program ends. Gives the address, with a slash at the end.
///
/// # Errors
/// As [`serve`].
pub fn start(port: Option<u16>) -> Result<String> {
    let folder: Arc<Path> = bundle::folder().into();
    if !folder.join("index.html").is_file() {
        bail!("dist/index.html is missing; run `cargo xtask build` first");
    }
    let listener = listen(port)?;
    let address = format!("http://{}/", listener.local_addr()?);
    listener.set_nonblocking(true)?;
    let runtime = tokio::runtime::Builder::new_current_thread().enable_io().build()?;
    std::thread::spawn(move || runtime.block_on(answer_all(listener, folder)));
    Ok(address)
}

async fn answer_all(listener: TcpListener, folder: Arc<Path>) -> Result<()> {
    let listener = tokio::net::TcpListener::from_std(listener)?;
    loop {
        // A browser that hangs up early is no fault of ours, here and below.
        let Ok((stream, _)) = listener.accept().await else { continue };
        let folder = Arc::clone(&folder);
        tokio::spawn(async move {
            let service = service_fn(|request| {
                let response = answer(&request, &folder);
                async { Ok::<_, Infallible>(response) }
            });
            let _ = http1::Builder::new().serve_connection(TokioIo::new(stream), service).await;
        });
    }
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

fn answer<B>(request: &Request<B>, folder: &Path) -> Response<Full<Bytes>> {
    if !matches!(*request.method(), Method::GET | Method::HEAD) {
        return response(StatusCode::METHOD_NOT_ALLOWED, "text/plain", "only GET and HEAD".into());
    }
    if request.uri().path() == "/sw.js" {
        return response(StatusCode::OK, "text/javascript; charset=utf-8", edition::WITHDRAWN.into());
    }
    let file = file_for(request.uri().path(), folder);
    match file.and_then(|path| Some((std::fs::read(&path).ok()?, media_type(&path)))) {
        Some((bytes, media_type)) => response(StatusCode::OK, media_type, bytes.into()),
        None => response(StatusCode::NOT_FOUND, "text/plain", "not found".into()),
    }
}

fn response(status: StatusCode, media_type: &'static str, body: Bytes) -> Response<Full<Bytes>> {
    let mut response = Response::new(Full::new(body));
    *response.status_mut() = status;
    let headers: [(HeaderName, &'static str); 5] = [
        (header::CONTENT_TYPE, media_type),
        (header::CACHE_CONTROL, "no-cache"),
        (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
        (header::CONTENT_SECURITY_POLICY, CONTENT_POLICY),
        (header::REFERRER_POLICY, "no-referrer"),
    ];
    for (name, value) in headers {
        response.headers_mut().insert(name, HeaderValue::from_static(value));
    }
    response
}

/// The file the path of a request means; `None` when there is none inside the folder.
fn file_for(path: &str, folder: &Path) -> Option<PathBuf> {
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
        Some("webp") => "image/webp",
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
        assert!(file_for("/xtask/Cargo.toml", &folder).is_some());
        assert!(file_for("/xtask/%43argo.toml", &folder).is_some());
    }

    #[test]
    fn broken_escapes_mean_no_file() {
        for path in ["%", "%4", "%zz", "%ff"] {
            assert_eq!(unescape(path), None, "{path}");
        }
    }
}
