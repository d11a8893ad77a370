//! Style sheets, script, type and icon: part of the program, served under names that change with their content.

use std::sync::LazyLock;

use axum::extract::Path;
use axum::http::{HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Response};
use sha2::{Digest, Sha256};

/// Bytes of the hash that go into a name.
const HASH_BYTES: usize = 6;

/// A file that is part of the program.
#[derive(Debug)]
pub(super) struct Asset {
    name: String,
    kind: &'static str,
    bytes: &'static [u8],
}

impl Asset {
    fn new(stem: &str, ending: &str, kind: &'static str, bytes: &'static [u8]) -> Self {
        let hash = propagule_files::hex::encode(&Sha256::digest(bytes)[..HASH_BYTES]);
        Self { name: format!("{stem}-{hash}.{ending}"), kind, bytes }
    }

    /// Where it is served.
    pub(super) fn address(&self) -> String {
        format!("/assets/{}", self.name)
    }
}

/// How pages look on a screen; it names the files of the type by the names that change with them.
pub(super) static STYLE: LazyLock<Asset> = LazyLock::new(|| {
    let faces = include_str!("faces.css");
    let faces = faces.replace("{roman}", &ROMAN.address()).replace("{italic}", &ITALIC.address());
    let style = format!("{faces}{}", include_str!("style.css"));
    Asset::new("style", "css", "text/css; charset=utf-8", Box::leak(style.into_boxed_str()).as_bytes())
});
/// Upright letters, in all weights.
pub(super) static ROMAN: LazyLock<Asset> =
    LazyLock::new(|| Asset::new("roman", "woff2", "font/woff2", include_bytes!("fonts/roman.woff2")));
/// Letters of Latin names.
static ITALIC: LazyLock<Asset> =
    LazyLock::new(|| Asset::new("italic", "woff2", "font/woff2", include_bytes!("fonts/italic.woff2")));
/// How pages look on paper.
pub(super) static PRINT: LazyLock<Asset> =
    LazyLock::new(|| Asset::new("print", "css", "text/css; charset=utf-8", include_bytes!("print.css")));
/// Comfort for browsers that run scripts.
pub(super) static SCRIPT: LazyLock<Asset> =
    LazyLock::new(|| Asset::new("app", "js", "text/javascript; charset=utf-8", include_bytes!("app.js")));
/// The picture in the browser's tab.
pub(super) static ICON: LazyLock<Asset> =
    LazyLock::new(|| Asset::new("icon", "svg", "image/svg+xml", include_bytes!("icon.svg")));

/// Serves one of them; its name changes with its content, so that it may be kept for ever.
pub(super) async fn serve(Path(name): Path<String>) -> Response {
    let all = [&STYLE, &PRINT, &SCRIPT, &ICON, &ROMAN, &ITALIC];
    match all.into_iter().find(|asset| asset.name == name) {
        None => StatusCode::NOT_FOUND.into_response(),
        Some(asset) => {
            let headers = [
                (header::CONTENT_TYPE, HeaderValue::from_static(asset.kind)),
                (header::CACHE_CONTROL, HeaderValue::from_static("public, max-age=31536000, immutable")),
            ];
            (headers, asset.bytes).into_response()
        }
    }
}
