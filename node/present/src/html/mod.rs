//! Documents as HTML in the classes of the page's style: no inline style, no script, everything escaped.

mod figure;

use maud::{Markup, PreEscaped, html};

use crate::clean::clean;
use crate::document::{
    Action, Block, Document, Fold, Heading, Item, List, ListKind, Part, Phrase, Role, Sentence, Weight,
};
use crate::markup::{leads_somewhere, left, phrase, table};

/// The document as it stands within a page; characters that would steer a screen are replaced.
pub fn render(document: &Document) -> Markup {
    PreEscaped(clean(&self::document(document).into_string()).into_owned())
}

fn document(document: &Document) -> Markup {
    let parts: Vec<&Part> = document.parts.iter().filter(|part| part.on.is_on_page()).collect();
    // Actions beside each other are one row of buttons.
    let together =
        |a: &&Part, b: &&Part| matches!((&a.block, &b.block), (Block::Action(_), Block::Action(_)));
    html! { @for group in parts.chunk_by(together) { (blocks(group)) } }
}

fn blocks(group: &[&Part]) -> Markup {
    if let [only] = group {
        return block(&only.block);
    }
    actions(group.iter().filter_map(|part| match &part.block {
        Block::Action(action) => Some(action),
        _ => None,
    }))
}

fn block(block: &Block) -> Markup {
    match block {
        Block::Heading(heading) => section(heading),
        Block::Sentence(sentence) => paragraph(sentence),
        Block::Table(rows) => table(rows),
        Block::Chart(chart) => figure::figure(chart),
        Block::List(list) => items(list),
        Block::Action(action) => actions([action]),
        Block::Fold(folded) => fold(folded),
    }
}

fn section(heading: &Heading) -> Markup {
    let (id, title) = (heading.anchor.as_deref(), phrase(&heading.title));
    html! {
        @match heading.level {
            0 | 1 => h1 id=[id] { (title) },
            2 => h2 id=[id] { (title) },
            3 => h3 id=[id] { (title) },
            _ => h4 id=[id] { (title) },
        }
        (document(&heading.under))
    }
}

fn paragraph(Sentence { role, words }: &Sentence) -> Markup {
    let class = match role {
        Role::Main => Some("say"),
        Role::Plain | Role::Warning => None,
        Role::Note | Role::Aside | Role::Caveat => Some("soft"),
    };
    html! { @if !words.is_empty() { p class=[class] { (phrase(words)) } } }
}

fn items(list: &List) -> Markup {
    let most = list.most.as_ref();
    let shown = &list.items[..list.items.len().min(most.map_or(usize::MAX, |most| most.on_page))];
    let points = html! { @for of in shown { li { (item(of)) } } };
    html! {
        @match list.kind {
            ListKind::Points => ul { (points) },
            ListKind::Ranked => ol { (points) },
            ListKind::Rows => ul class="list" { (points) },
            ListKind::Facts => dl class="facts" { (facts(shown)) },
            ListKind::Figures => dl class="facts even" { (facts(shown)) },
        }
        (left(most.and_then(|most| most.left_on_page(list.items.len()))))
    }
}

fn facts(items: &[Item]) -> Markup {
    html! { @for of in items {
        dt { (phrase(of.term.as_ref().unwrap_or(&Phrase::new()))) }
        dd { (linked(of)) (document(&of.under)) }
    } }
}

fn item(item: &Item) -> Markup {
    html! {
        @if let Some(term) = &item.term { (phrase(term)) ": " }
        (linked(item))
        (document(&item.under))
    }
}

/// The words of an item, as a link where it has a page of its own.
fn linked(item: &Item) -> Markup {
    match item.address.as_deref().filter(|address| leads_somewhere(address)) {
        Some(address) => html! { a class="row" href=(address) { (phrase(&item.words)) } },
        None => phrase(&item.words),
    }
}

fn actions<'a>(actions: impl IntoIterator<Item = &'a Action>) -> Markup {
    html! { ul class="acts" { @for action in actions { li { (button(action)) } } } }
}

fn button(action: &Action) -> Markup {
    let class = match action.weight {
        Weight::Lead => "button lead",
        Weight::Usual => "button",
        Weight::Quiet => "button quiet",
    };
    let label = &action.label;
    match (action.address.as_deref().filter(|address| leads_somewhere(address)), &action.command) {
        (Some(address), _) => html! { a class=(class) href=(address) { (label) } },
        (None, Some(command)) => html! { (label) ": " code { (command) } },
        (None, None) => html! { (label) },
    }
}

fn fold(fold: &Fold) -> Markup {
    html! { details open[fold.is_open] { summary { (phrase(&fold.summary)) } (document(&fold.content)) } }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn html(document: &Document) -> String {
        render(document).into_string()
    }

    #[test]
    fn roles_and_runs_have_the_classes_of_the_style() {
        let words = Phrase::from("a").strong("b").name("c").soft("d").code("e").link("f", "/g").line();
        assert_eq!(
            html(&Document::new().main(words).note("n").warn("w")),
            "<p class=\"say\">a<strong>b</strong><i>c</i><span class=\"soft\">d</span><code>e</code>\
             <a href=\"/g\">f</a><br></p><p class=\"soft\">n</p><p>w</p>"
        );
    }

    #[test]
    fn what_is_no_address_is_no_link_and_markup_is_text() {
        let words = Phrase::new().link("<b>", "javascript:alert(1)").link("x", "/a?b=\"><script>");
        assert_eq!(
            html(&Document::new().say(words)),
            "<p>&lt;b&gt;<a href=\"/a?b=&quot;&gt;&lt;script&gt;\">x</a></p>"
        );
        let action = Action::link("go", "javascript:alert(1)");
        assert_eq!(html(&Document::new().action(action)), "<ul class=\"acts\"><li>go</li></ul>");
    }

    #[test]
    fn actions_beside_each_other_are_one_row_of_buttons() {
        let said = Document::new()
            .action(Action::link("A", "/a").lead())
            .in_text(|text| text.say("not here"))
            .action(Action::link("B", "/b").quiet())
            .action(Action::command("C", "propagule doctor"));
        assert_eq!(
            html(&said),
            "<ul class=\"acts\"><li><a class=\"button lead\" href=\"/a\">A</a></li><li><a class=\"button quiet\" \
             href=\"/b\">B</a></li><li>C: <code>propagule doctor</code></li></ul>"
        );
    }

    #[test]
    fn lists_facts_and_folds_are_what_they_are_in_html() {
        let said = Document::new()
            .fold("More", |more| more.list(List::points(["a", "b"]).at_most(9, 1, "in the file")))
            .list(List::figures([Item::fact("T", "1")]))
            .list(List::rows([Item::from("M2").at("/m2")]));
        assert_eq!(
            html(&said),
            "<details><summary>More</summary><ul><li>a</li></ul><p class=\"soft\">And 1 more in the file.</p></details>\
             <dl class=\"facts even\"><dt>T</dt><dd>1</dd></dl><ul class=\"list\"><li><a class=\"row\" href=\"/m2\">M2</a>\
             </li></ul>"
        );
    }
}
