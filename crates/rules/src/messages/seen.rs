//! EY: what somebody has seen at the car.

use super::messages;

messages! {
    EY01 {
        says(wire, what, no_fuse) = "{wire} {what}{no_fuse}";
        no_fuse() = ", and no fuse before it would save it";
        hole() = "goes through metal without a grommet: it rubs through to the body";
        edge() = "goes over an edge without a sleeve: it rubs through to the body";
        heat() = "lies nearer than 100 mm to the exhaust: its cover melts";
        fuel_pipe() = "lies along a fuel pipe: a short there is lit and fed at once";
        hinge() = "goes over a hinge without a loop: it breaks, or its cover does";
        clips() = "is held less often than every 200 mm: it swings and chafes";
        advice_hole() = "Fit a grommet, or a sleeve where none will go in";
        advice_edge() = "Sleeve it where it crosses the edge, and clip it on both sides";
        advice_heat() = "Move it away, or put a heat shield between";
        advice_fuel_pipe() = "Run it elsewhere; where it must cross, hold it clear";
        advice_hinge() =
            "Give it a loop to move in, in a sleeve, and clip it on both sides of the hinge";
        advice_clips() = "Clip it every 200 mm, and close to each end";
    }

    EY02 {
        says(wire, what) = "{wire} {what}: the fault comes in two winters";
        pierced() = "is joined by a splice that pierces its cover and cuts strands";
        squeezed() = "has an end squeezed with pliers, which comes loose";
        in_spray() = "is spliced where spray reaches it, and not sealed";
        in_bundle() = "is spliced inside a tight bundle, and not sealed";
        advice() =
            "Join it at a connector, or crimp it with the right tool under a sleeve with glue in it";
    }
}
