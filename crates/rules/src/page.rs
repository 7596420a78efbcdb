//! All rules' pages as one, in an order in which they can be read as a short course.

use crate::{RULES, Rule};

/// A lesson of the course: one idea, and the rules that follow from it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Lesson {
    /// The letters of its rules' codes.
    pub letters: &'static str,
    /// Its heading.
    pub heading: &'static str,
    /// The idea, in a paragraph of Markdown.
    pub about: &'static str,
}

/// The lessons in the order in which they build on each other.
pub const LESSONS: [Lesson; 19] = [
    Lesson {
        letters: "EA",
        heading: "The way home",
        about: "Current leaves one post of the battery, does its work, and has to get back to the other; a lamp with one wire is a lamp that is not lit.\n\
                On most cars the way back is the metal of the body, to which one post is bolted: that post is earth, and it makes the car a negative-earth or a positive-earth one.\n\
                An earth is therefore half of every circuit, and a poor one is shared: whatever returns through it lifts its neighbours by the volts that it loses there.",
    },
    Lesson {
        letters: "SU",
        heading: "Supply",
        about: "The battery gives whatever is asked of it, and that is more than any wire can bear: through a dead short, hundreds of amperes.\n\
                So nothing may join its posts without a consumer between, in any position of any switch.\n\
                And there are two kinds of feed, one that is always live and one that the key makes live; joined by accident, the one wakes the other.",
    },
    Lesson {
        letters: "CH",
        heading: "Charging",
        about: "What the engine puts back has to reach the battery, and to be as much as is taken.\n\
                A dynamo gives nothing at tick-over and is held by a control box; an alternator is woken by the few watts of its charge lamp and holds itself.\n\
                Neither likes to lose the battery while it turns.",
    },
    Lesson {
        letters: "ST",
        heading: "Starting",
        about: "For a few seconds the starter takes more than all else together, some 200 A.\n\
                At that current a hundredth of an ohm costs two volts, so lead, clamps, straps and the body itself all count.",
    },
    Lesson {
        letters: "CA",
        heading: "Cable",
        about: "A wire is a resistor that gets warm: twice the current, four times the heat.\n\
                Each size of cable bears so many amperes before its insulation suffers, fewer where it is hot or where it lies in a bundle.\n\
                The load decides the current, and the current decides the size.",
    },
    Lesson {
        letters: "PR",
        heading: "Fuses",
        about: "A fuse protects the wire behind it, not the lamp at its end.\n\
                A lamp that fails takes no more current; a wire that chafes through takes all that the battery gives, and burns unless something opens first.\n\
                So the fuse is chosen by the thinnest wire behind it, and stands where that wire begins: what lies before the fuse has nothing to guard it.",
    },
    Lesson {
        letters: "SW",
        heading: "Switches and relays",
        about: "A contact is made for so many amperes as well; above that it sparks, gets hot and welds or burns.\n\
                A relay lets a small switch control a large current: a tenth of an ampere through its coil closes a contact for thirty.\n\
                Its coil pulls in at some 60 % of its volts, but drops out at 20 %, so a little current from elsewhere is enough to hold it.",
    },
    Lesson {
        letters: "VD",
        heading: "Volts lost on the way",
        about: "Volts are lost wherever current meets resistance: in every metre of wire, every contact and every joint, on the way out and on the way home.\n\
                Light falls much faster than volts: with a tenth of the volts gone, a filament gives about a third less light.\n\
                So cable that does not even get warm can be too thin for good light.",
    },
    Lesson {
        letters: "VO",
        heading: "Six, twelve, twenty-four",
        about: "Battery, lamps and motors have to be made for the same voltage.\n\
                A lamp on twice its volts burns out in seconds, and one on half of them hardly glows.\n\
                For the same watts, a 6 V car needs twice the amperes of a 12 V one, and so much thicker cable.",
    },
    Lesson {
        letters: "PO",
        heading: "Plus and minus",
        about: "A filament or a motor of the old kind works either way round, and cars were built with either post to earth.\n\
                Diodes, LEDs and electronics let current pass one way only: turned round they stay dark, or are destroyed.",
    },
    Lesson {
        letters: "BF",
        heading: "Current where none should be",
        about: "Current takes every way that is open to it, also backwards through a lamp that is switched off, which cold is nearly a piece of wire.\n\
                Such a way needs two live ends or a missing earth; it shows in one position of the switches, and nobody looks for it in the drawing.",
    },
    Lesson {
        letters: "IN",
        heading: "Indicators and hazard warning",
        about: "A flasher unit makes and breaks one feed, and lever or hazard switch decide where that goes; the law asks for 60 to 120 flashes a minute.\n\
                Hazard warning added to an old car has to work by itself, with the key out and the lever anywhere, and to leave the indicators alone when it is off.\n\
                What the law asks depends on the country and on the car's age: check it.",
    },
    Lesson {
        letters: "LI",
        heading: "Lamps that others go by",
        about: "Head, side, stop and fog lamps are as much for the others on the road as for the driver.\n\
                No single fuse, switch or relay should leave the road dark or the car unseen, and no lamp may be lit by what it does not belong to.\n\
                What the law asks depends on the country and on the car's age: check it.",
    },
    Lesson {
        letters: "RE",
        heading: "Work with a trap in it",
        about: "Pumps, fans, heated windows, immobilisers and trailers: each has a mistake that nearly everybody \
                makes once.\n\
                What they have in common is the moment that nobody drew: the crash, the stall, the key just taken \
                out, the trailer just coupled.",
    },
    Lesson {
        letters: "EY",
        heading: "What an eye at the car has seen",
        about: "A drawing knows neither edges nor exhausts.\n\
                Who has looked can say so of each wire, end and part, and the program draws its conclusions.",
    },
    Lesson {
        letters: "LW",
        heading: "Law on lamps",
        about: "Some numbers of the rules for lamps, by region, as lines to check.\n\
                None of them is an approval, and none replaces the text of the law.",
    },
    Lesson {
        letters: "WP",
        heading: "The drawing is finished when",
        about: "A drawing is finished when every end is joined, every wire is measured, and every fitting suits its wire and its current.\n\
                What is left open is where the surprise is on the day of the work.",
    },
    Lesson {
        letters: "CO",
        heading: "Colours",
        about: "A loom can be read like a text by those who know the code: the main colour tells where a wire is fed, the tracer what it goes to.\n\
                One wire that lies costs the next owner an afternoon, or worse: brown is live in one code and earth in the other.",
    },
    Lesson {
        letters: "PM",
        heading: "Promises",
        about: "What no general rule can know, the owner says: with these switches so, those lamps do that, also with any one of these fuses out.\n\
                The program then tries every setting, and shows the first that breaks it.",
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
    page.push_str("\n## Lessons\n\n");
    for (n, lesson) in (1..).zip(&LESSONS) {
        let (heading, anchor) = (lesson.heading, anchor(lesson.heading));
        let codes: Vec<&str> = lesson.rules().map(|rule| rule.code).collect();
        let row = format!("{n}. [{heading}](#{anchor}): {}\n", codes.join(", "));
        page.push_str(&row);
    }
    for lesson in &LESSONS {
        page.extend(["\n## ", lesson.heading, "\n\n", lesson.about, "\n"]);
        for rule in lesson.rules() {
            push_rule(&mut page, rule);
        }
    }
    page
}

impl Lesson {
    /// Its rules, in the order of their codes.
    pub fn rules(&self) -> impl Iterator<Item = &'static Rule> + use<> {
        let letters = self.letters;
        let mut rules: Vec<&Rule> =
            RULES.iter().filter(|rule| rule.code.starts_with(letters)).collect();
        rules.sort_by_key(|rule| rule.code);
        rules.into_iter()
    }
}

/// Every rule, in the order of the lessons.
pub fn rules_in_order() -> impl Iterator<Item = &'static Rule> {
    LESSONS.iter().flat_map(Lesson::rules)
}

/// The name under which a heading is linked to in Markdown.
fn anchor(heading: &str) -> String {
    let letters = heading.chars().filter(|letter| letter.is_alphanumeric() || *letter == ' ');
    letters.collect::<String>().to_lowercase().replace(' ', "-")
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
    fn every_rule_stands_in_one_lesson() {
        for rule in RULES {
            let n = LESSONS.iter().filter(|lesson| rule.code.starts_with(lesson.letters)).count();
            assert_eq!(n, 1, "{}", rule.code);
        }
        assert_eq!(rules_in_order().count(), RULES.len());
        let page = rules_page();
        for rule in RULES {
            assert!(page.contains(&format!("### {}: {}", rule.code, rule.title)));
        }
    }

    #[test]
    fn every_lesson_teaches_in_a_paragraph_and_is_in_the_list_of_contents() {
        let page = rules_page();
        for lesson in &LESSONS {
            assert!(lesson.about.lines().count() >= 2, "{}", lesson.heading);
            assert!(lesson.rules().count() > 0, "{}", lesson.heading);
            let link = format!("[{}](#{})", lesson.heading, anchor(lesson.heading));
            assert!(page.contains(&link), "{link}");
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
