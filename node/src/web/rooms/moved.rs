//! Addresses that pages had before: links that growers kept lead on to where the page is now.

use axum::Router;
use axum::http::{HeaderValue, StatusCode, Uri, header};
use axum::response::{IntoResponse, Response};
use axum::routing::get;

use crate::web::Web;

/// How an address began, and how it begins now; a longer beginning stands before a shorter one.
const MOVED: [(&str, &str); 8] = [
    ("/plan/plants", "/works/many"),
    ("/plan/answer.json", "/works/many/answer.json"),
    ("/plan", "/bench/new"),
    ("/species", "/works"),
    ("/compare", "/works/near"),
    ("/publish", "/share/publish"),
    ("/network", "/share/people"),
    ("/phone", "/share/phones"),
];

pub(super) fn routes() -> Router<Web> {
    let share = Router::new().route("/share", get(|| async { permanently("/share/publish") }));
    ["/plan", "/species", "/compare", "/publish", "/network", "/phone"]
        .into_iter()
        .fold(share, |all, old| all.route(old, get(moved)).route(&format!("{old}/{{*rest}}"), get(moved)))
}

async fn moved(uri: Uri) -> Response {
    let asked = uri.path_and_query().map_or(uri.path(), |asked| asked.as_str());
    now_at(asked).map_or_else(|| StatusCode::NOT_FOUND.into_response(), |now| permanently(&now))
}

/// Where a page is now.
fn now_at(asked: &str) -> Option<String> {
    MOVED.iter().find_map(|(old, now)| {
        let rest = asked.strip_prefix(old)?;
        (rest.is_empty() || rest.starts_with(['/', '?'])).then(|| format!("{now}{rest}"))
    })
}

fn permanently(address: &str) -> Response {
    match HeaderValue::from_str(address) {
        Ok(address) => (StatusCode::MOVED_PERMANENTLY, [(header::LOCATION, address)]).into_response(),
        Err(_) => StatusCode::NOT_FOUND.into_response(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_follows_an_old_address_stays() {
        let now = |old| now_at(old).unwrap_or_default();
        assert_eq!(now("/species?species=Morus+nigra"), "/works?species=Morus+nigra");
        assert_eq!(now("/publish/M2/back"), "/share/publish/M2/back");
        assert_eq!(now("/plan/plants?want=5"), "/works/many?want=5");
        assert_eq!([now("/plan"), now("/phone")], ["/bench/new", "/share/phones"]);
        assert_eq!(now_at("/plants"), None);
    }
}
