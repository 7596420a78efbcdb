//! Papers: the pages and how they are set.

use super::texts;

texts! {
    PaperWords {
        preparing_the_pages() = "Preparing the pages…";
        garage_pack() = "Garage pack";
        previous_page() = "Previous page";
        next_page() = "Next page";
        page_of(page, n_pages) = "Page {page} of {n_pages}";
        page(page, name) = "Page {page}: {name}";
        the_page(name) = "The page {name}";
    }

    PaperOptionWords {
        paper() = "Paper";
        for_a_printer_with_colours() = "For a printer with colours";
        black_only() = "black only";
        for_a_printer_without_colours() = "For a printer without colours: letters alone tell the wires apart";
        drawings_show() = "Drawings show";
        page_templates() = "Page templates";
        built_in() = "built in";
        a_clubs_own_pages_name_mark() = "A club's own pages, name, mark and fields, from a folder";
        choose() = "Choose…";
        takes_the_built_in_templates_again() = "Takes the built-in templates again";
        drop() = "Drop";
    }

    PressOptionWords {
        alteration_marked() = "alteration marked";
        as_found() = "as found";
        after_the_alteration() = "after the alteration";
        alteration_alone() = "alteration alone";
    }

    PressWords {
        the_pages_cannot_be_set(error) = "The pages cannot be set: {error}";
        the_page_cannot_be_painted(error) = "The page cannot be painted: {error}";
        no_pages_are_set_yet() = "No pages are set yet";
        garage_pack() = "garage pack";
    }

    PrinterWords {
        no_viewer(folder) = "no viewer for PDF is known; the papers are in {folder}";
        neither_printer_nor_viewer(folder) = "neither a printer nor a viewer for PDF was found; the papers are in {folder}";
        opened_in_the_viewer_for_pdf() = "Opened in the viewer for PDF: print from there";
        sent_to_the_printer(name) = "Sent to the printer: {name}";
        opened_instead(says) = "Opened in the viewer for PDF, since {says}: print from there";
        there_is_no_print_service_here() = "there is no print service here";
        the_print_service_refused() = "the print service refused";
        the_print_service_says(says) = "the print service says: {says}";
    }
}
