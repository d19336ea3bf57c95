//! What pages say to catalogues and search engines, and to whoever asks for a page that is not there.

use super::{course, lesson, made, marked, page};

#[test]
fn a_lesson_carries_data_that_no_text_breaks_out_of() {
    let mut reader = course(vec![lesson("one", 1, vec![])]);
    reader.course.about.address = Some("https://school.example/start".to_owned());
    reader.course.about.level = Some("vocational school".to_owned());
    reader.course.about.license = Some("https://license.example/by/4.0/".to_owned());
    reader.course.lessons[0].title = "</script><b>".to_owned();
    let page = page(&reader, "one.html");
    let (_, rest) = page.split_once("<script type=\"application/ld+json\">").expect("it has data");
    let (data, _) = rest.split_once("</script>").expect("it ends");
    assert!(!data.contains(['<', '>', '&']), "{data}");
    let data: serde_json::Value = serde_json::from_str(data).expect("JSON");
    let wanted = serde_json::json!({
        "@context": "https://schema.org",
        "@type": "LearningResource",
        "name": "</script><b>",
        "description": marked("lesson-summary"),
        "learningResourceType": "lesson",
        "inLanguage": "en",
        "timeRequired": "PT90M",
        "teaches": [marked("outcome")],
        "educationalLevel": "vocational school",
        "license": "https://license.example/by/4.0/",
        "url": "https://school.example/start/one.html",
        "isPartOf": {
            "@type": "Course",
            "name": marked("course-title"),
            "description": marked("course-summary"),
            "provider": { "@type": "Organization", "name": marked("school") },
            "url": "https://school.example/start/",
        },
    });
    assert_eq!(data, wanted);
}

#[test]
fn a_site_with_an_address_says_it_and_lists_its_pages() {
    let lessons = || vec![lesson("safety", 1, vec![]), lesson("kabel/öse", 2, vec![])];
    let mut with = course(lessons());
    with.course.about.address = Some("https://school.example/start".to_owned());
    let files = made(&with);
    let text = |path: &str| String::from_utf8(files[path].clone()).expect("text");
    let map = text("sitemap.xml");
    assert!(roxmltree::Document::parse(&map).is_ok(), "{map}");
    for (path, address) in [
        ("index.html", "https://school.example/start/"),
        ("safety.html", "https://school.example/start/safety.html"),
        ("kabel/öse.html", "https://school.example/start/kabel/%C3%B6se.html"),
    ] {
        assert!(map.contains(&format!("<loc>{address}</loc>")), "{map}");
        assert!(text(path).contains(&format!("<link rel=\"canonical\" href=\"{address}\">")), "{path}");
    }
    assert!(!map.contains("404") && !text("404.html").contains("canonical"));

    let without = made(&course(lessons()));
    assert!(!without.contains_key("sitemap.xml"));
    let any = without.values().any(|bytes| String::from_utf8_lossy(bytes).contains("rel=\"canonical\""));
    assert!(!any, "an address that nobody gave");
}

#[test]
fn the_page_for_what_is_not_there_finds_its_styles_wherever_it_is_shown() {
    let mut reader = course(vec![lesson("cables/joints", 1, vec![])]);
    let styles = |html: &str| -> Vec<String> {
        let parts = html.split("<link rel=\"stylesheet\" href=\"").skip(1);
        parts.map(|part| part.split("assets/").next().expect("a way").to_owned()).collect()
    };
    let lost = page(&reader, "404.html");
    assert_eq!(styles(&lost), ["", "../", "../../"]);
    // From an unknown place every link would lead to this page again.
    assert!(!lost.contains("<a href=\"index.html\"") && !lost.contains("joints.html"), "{lost}");
    assert_eq!(styles(&page(&reader, "cables/joints.html")), ["../"]);

    reader.course.about.address = Some("https://school.example/start".to_owned());
    let lost = page(&reader, "404.html");
    assert_eq!(styles(&lost), ["/start/"]);
    assert!(
        lost.contains("href=\"/start/index.html\"") && lost.contains("href=\"/start/cables/joints.html\"")
    );
}
