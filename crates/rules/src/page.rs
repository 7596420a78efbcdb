//! All rules' pages as one, in an order in which they can be read as a short course.

use crate::{RULES, Rule};

/// A chapter: the letters of its rules' codes, its heading, and what it is about.
struct Chapter {
    letters: &'static str,
    heading: &'static str,
    about: &'static str,
}

const CHAPTERS: [Chapter; 19] = [
    Chapter {
        letters: "EA",
        heading: "The way home",
        about: "Current leaves the battery, does its work, and has to get back.\n\
                On most cars it returns through the metal of the body; which battery post is joined to the body \
                makes the car a negative-earth or a positive-earth one.",
    },
    Chapter {
        letters: "SU",
        heading: "Supply",
        about: "The battery gives whatever is asked of it, and more than any wire can bear.\n\
                So nothing may join its posts without a consumer between, and feeds that are meant to be apart \
                have to stay apart in every position of every switch.",
    },
    Chapter {
        letters: "CH",
        heading: "Charging",
        about: "What the engine puts back has to reach the battery, and to be as much as is taken.\n\
                A dynamo and an alternator are woken and held in different ways, and neither likes to lose the \
                battery while it turns.",
    },
    Chapter {
        letters: "ST",
        heading: "Starting",
        about: "For a few seconds the starter takes more than all else together, through the body and the engine \
                as well as through its lead.",
    },
    Chapter {
        letters: "CA",
        heading: "Cable",
        about: "Each size of cable bears so many amperes.\n\
                The load decides the current, the current decides the size.",
    },
    Chapter {
        letters: "PR",
        heading: "Fuses",
        about: "The size of the cable decides the fuse, and the fuse stands where the cable starts.\n\
                A fuse protects the wire behind it, not the lamp at its end.",
    },
    Chapter {
        letters: "SW",
        heading: "Switches and relays",
        about: "A switch is made for so many amperes as well.\n\
                A relay lets a small switch control a large current: a tenth of an ampere through its coil closes \
                a contact for thirty.",
    },
    Chapter {
        letters: "VD",
        heading: "Volts lost on the way",
        about: "Every metre of wire, every contact and every joint takes its share of the volts.\n\
                Cable that does not get hot can still be too thin for good light.",
    },
    Chapter {
        letters: "VO",
        heading: "Six, twelve, twenty-four",
        about: "Battery, lamps and motors have to be made for the same voltage.\n\
                A lamp on twice its volts burns out in seconds, and one on half of them hardly glows.",
    },
    Chapter {
        letters: "PO",
        heading: "Plus and minus",
        about: "A filament or a motor of the old kind works either way round.\n\
                Diodes, LEDs and electronics do not.",
    },
    Chapter {
        letters: "BF",
        heading: "Current where none should be",
        about: "Current takes every way that is open to it, also backwards through a lamp that is switched off.",
    },
    Chapter {
        letters: "IN",
        heading: "Indicators and hazard warning",
        about: "Hazard warning added to an old car has to work by itself and leave the indicators alone.\n\
                What the law asks depends on the country and on the car's age: check it.",
    },
    Chapter {
        letters: "LI",
        heading: "Lamps that others go by",
        about: "Head, side, stop and fog lamps are as much for the others on the road as for the driver.\n\
                What the law asks depends on the country and on the car's age: check it.",
    },
    Chapter {
        letters: "RE",
        heading: "Work with a trap in it",
        about: "Pumps, fans, heated windows, immobilisers and trailers: each has a mistake that nearly everybody \
                makes once.",
    },
    Chapter {
        letters: "EY",
        heading: "What an eye at the car has seen",
        about: "A drawing knows neither edges nor exhausts.\n\
                Who has looked can say so of each wire, end and part, and the program draws its conclusions.",
    },
    Chapter {
        letters: "LW",
        heading: "Law on lamps",
        about: "Some numbers of the rules for lamps, by region, as lines to check.\n\
                None of them is an approval, and none replaces the text of the law.",
    },
    Chapter {
        letters: "WP",
        heading: "The drawing is finished when",
        about: "Every end is joined, and every wire has been measured.",
    },
    Chapter {
        letters: "CO",
        heading: "Colours",
        about: "A loom can be read like a text by those who know the code, as long as nobody has lied in it.",
    },
    Chapter {
        letters: "PM",
        heading: "Promises",
        about: "What no general rule can know, the owner says: with these switches so, those lamps do that.",
    },
];

/// Every rule with its page, as one text in Markdown.
pub fn rules_page() -> String {
    let mut page = String::from(
        "# Rules: what the program looks for\n\n\
         A finding is a danger (fire, sudden dark, an engine that will not stop), a fault (it will not work, or will \
         fail early) or advice (it could be better).\n\
         The rules are for planning: they do not replace local law, an inspection, or a competent person.\n\
         Disconnect the battery before you work on the car.\n",
    );
    for chapter in &CHAPTERS {
        page.extend(["\n## ", chapter.heading, "\n\n", chapter.about, "\n"]);
        for rule in RULES.iter().filter(|rule| rule.code.starts_with(chapter.letters)) {
            push_rule(&mut page, rule);
        }
    }
    page
}

fn push_rule(page: &mut String, rule: &Rule) {
    let (code, name, level) = (rule.code, rule.name, rule.level.word());
    let head =
        format!("\n### {code}: {}\n\n`{name}`, {level}, since {}.\n\n", rule.title, rule.since);
    page.push_str(&head);
    for line in rule.help.lines() {
        // A rule's own headings go two levels down.
        let deeper = if line.starts_with("## ") { "##" } else { "" };
        page.extend([deeper, line, "\n"]);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_rule_stands_in_one_chapter() {
        for rule in RULES {
            let n =
                CHAPTERS.iter().filter(|chapter| rule.code.starts_with(chapter.letters)).count();
            assert_eq!(n, 1, "{}", rule.code);
        }
        let page = rules_page();
        for rule in RULES {
            assert!(page.contains(&format!("### {}: {}", rule.code, rule.title)));
        }
    }

    #[test]
    fn every_page_has_its_five_headings_in_order() {
        for rule in RULES {
            let headings: Vec<&str> =
                rule.help.lines().filter_map(|line| line.strip_prefix("## ")).collect();
            assert_eq!(headings, ["What", "Why", "Example", "Fix", "Source"], "{}", rule.code);
        }
    }
}
