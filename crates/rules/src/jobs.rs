//! What a wire is for, and the colour that BS AU 7 gives that job.

use loomwright_circuit::{Car, Colour, ColourCode, PartId, WireColour, WireId};
use loomwright_electrics::Network;

use crate::ctx::Ctx;
use crate::feeds::Way;
use crate::messages::Jobs;
use crate::roles::{ControlRole, Role, Roles};
use crate::side::Side;
use crate::wiring::LoadKind;

/// What a wire is for, where the drawing says so beyond doubt.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Job {
    /// To earth.
    Earth,
    /// Live at all times, without a fuse.
    Live,
    /// Live at all times, fused.
    LiveFused,
    /// Live with the key, without a fuse.
    KeyLive,
    /// Live with the key, fused.
    KeyLiveFused,
    /// To the ignition coil.
    Ignition,
    /// To the starter solenoid.
    StarterTrigger,
    /// From the flasher unit to the stalk.
    FlasherOut,
    /// To the left indicators.
    LeftIndicators,
    /// To the right indicators.
    RightIndicators,
    /// To the stop lamps.
    StopLamps,
    /// From lighting switch to dip switch.
    Headlamps,
    /// To the main beams.
    MainBeam,
    /// To the dipped beams.
    DipBeam,
    /// To driving lamps.
    DrivingLamps,
    /// To side and tail lamps.
    SideLamps,
    /// To the instrument lamps.
    PanelLamps,
    /// To fog lamps.
    FogLamps,
    /// To reversing lamps.
    ReversingLamps,
}

const fn plain(main: Colour) -> WireColour {
    WireColour::plain(main)
}

const fn traced(main: Colour, tracer: Colour) -> WireColour {
    WireColour { main, tracer: Some(tracer) }
}

/// A colour with the jobs that it has in BS AU 7.
type Row = (WireColour, &'static [Job]);

/// Colours that have a settled job, with the jobs; other colours say too little to contradict one.
///
/// # Source
/// BS AU 7a:1983 as listed by lrfaq.org ("Wire Colours for Land Rovers") and theminiforum.co.uk topic 263927; the
/// families by jcna.com, "Lucas wiring colors". Blue/pink, blue/orange and the red ones from memory.
const SETTLED: [Row; 21] = [
    (plain(Colour::Black), &[Job::Earth]),
    (plain(Colour::Brown), &[Job::Live]),
    (plain(Colour::Purple), &[Job::LiveFused]),
    (plain(Colour::White), &[Job::KeyLive, Job::Ignition]),
    (plain(Colour::Green), &[Job::KeyLiveFused]),
    (traced(Colour::White, Colour::Red), &[Job::StarterTrigger]),
    (traced(Colour::LightGreen, Colour::Brown), &[Job::FlasherOut]),
    (traced(Colour::Green, Colour::Brown), &[Job::FlasherOut, Job::ReversingLamps]),
    (traced(Colour::Green, Colour::Red), &[Job::LeftIndicators]),
    (traced(Colour::Green, Colour::White), &[Job::RightIndicators]),
    (traced(Colour::Green, Colour::Purple), &[Job::StopLamps]),
    (plain(Colour::Blue), &[Job::Headlamps, Job::MainBeam, Job::DipBeam]),
    (traced(Colour::Blue, Colour::White), &[Job::MainBeam]),
    (traced(Colour::Blue, Colour::Red), &[Job::DipBeam]),
    (traced(Colour::Blue, Colour::Pink), &[Job::DipBeam]),
    (traced(Colour::Blue, Colour::Orange), &[Job::DipBeam]),
    (traced(Colour::Blue, Colour::Yellow), &[Job::DrivingLamps]),
    (plain(Colour::Red), &[Job::SideLamps, Job::PanelLamps]),
    (traced(Colour::Red, Colour::White), &[Job::PanelLamps]),
    (traced(Colour::Red, Colour::Yellow), &[Job::FogLamps]),
    (traced(Colour::Red, Colour::Blue), &[Job::FogLamps]),
];

/// The jobs that a colour has in BS AU 7, where they are settled.
pub fn jobs_of_colour(colour: WireColour) -> &'static [Job] {
    SETTLED.iter().find(|(known, _)| *known == colour).map_or(&[], |(_, jobs)| *jobs)
}

impl Job {
    /// Whether it is a feed that others are taken from.
    pub(crate) fn is_supply(self) -> bool {
        matches!(
            self,
            Self::Live | Self::LiveFused | Self::KeyLive | Self::KeyLiveFused | Self::Ignition
        )
    }

    /// Whether it is a feed of lamps, which takes its colour where they are switched.
    pub(crate) fn is_of_lamps(self) -> bool {
        let is_other =
            matches!(self, Self::Earth | Self::Ignition | Self::StarterTrigger | Self::FlasherOut);
        !self.is_supply() && !is_other
    }

    /// The job in words, after "feeds" or "goes".
    pub fn words(self) -> &'static str {
        match self {
            Self::Earth => Jobs::earth(),
            Self::Live => Jobs::live(),
            Self::LiveFused => Jobs::live_fused(),
            Self::KeyLive => Jobs::key_live(),
            Self::KeyLiveFused => Jobs::key_live_fused(),
            Self::Ignition => Jobs::ignition(),
            Self::StarterTrigger => Jobs::starter_trigger(),
            Self::FlasherOut => Jobs::flasher_out(),
            Self::LeftIndicators => Jobs::left_indicators(),
            Self::RightIndicators => Jobs::right_indicators(),
            Self::StopLamps => Jobs::stop_lamps(),
            Self::Headlamps => Jobs::headlamps(),
            Self::MainBeam => Jobs::main_beam(),
            Self::DipBeam => Jobs::dip_beam(),
            Self::DrivingLamps => Jobs::driving_lamps(),
            Self::SideLamps => Jobs::side_lamps(),
            Self::PanelLamps => Jobs::panel_lamps(),
            Self::FogLamps => Jobs::fog_lamps(),
            Self::ReversingLamps => Jobs::reversing_lamps(),
        }
    }

    /// The colour that BS AU 7 gives it.
    pub fn colour(self, code: ColourCode) -> Option<WireColour> {
        if matches!(code, ColourCode::Din | ColourCode::None) {
            return None;
        }
        match self {
            Self::FlasherOut if code == ColourCode::BsAu7 => {
                Some(traced(Colour::Green, Colour::Brown))
            }
            Self::ReversingLamps => Some(traced(Colour::Green, Colour::Brown)),
            Self::Ignition => Some(plain(Colour::White)),
            _ => SETTLED
                .iter()
                .find(|(_, jobs)| jobs.first() == Some(&self))
                .map(|(colour, _)| *colour),
        }
    }
}

/// The colour that the car's code gives a wire of it, where its job is plain: for a wire just drawn.
pub fn colour_of_job(car: &Car, network: &Network, wire: WireId) -> Option<WireColour> {
    let ctx = Ctx::new(car, network, crate::Evidence::default());
    job_of(&ctx.after, &ctx.roles, wire)?.colour(car.vehicle().colours)
}

/// What a wire is for, where the drawing says so beyond doubt.
pub(crate) fn job_of(side: &Side<'_>, roles: &Roles, wire: WireId) -> Option<Job> {
    let (_, ends) = side.wiring.wire_ends().find(|(id, _)| *id == wire)?;
    job_at(side, roles, wire, ends)
}

pub(crate) fn job_at(
    side: &Side<'_>,
    roles: &Roles,
    wire: WireId,
    ends: [usize; 2],
) -> Option<Job> {
    let is_live = ends.iter().any(|&end| side.live.reach(end) && !side.hard_earth[end]);
    if !is_live {
        let always = |end: &usize| side.earth.to(*end).any(|way| way.needs.0.is_empty());
        return ends.iter().all(always).then_some(Job::Earth);
    }
    let ways: Vec<&Way> = ends.iter().flat_map(|&end| side.live.regular(end)).collect();
    by_key(roles, &ways).or_else(|| by_load(side, roles, wire, &ways))
}

/// A feed that no switch but the key stands in.
fn by_key(roles: &Roles, ways: &[&Way]) -> Option<Job> {
    let is_fused = ways.iter().all(|way| !way.fuses.is_empty());
    let is_bare = ways.iter().all(|way| way.fuses.is_empty());
    if ways.iter().any(|way| way.flasher.is_some() || way.is_limited) || !(is_fused || is_bare) {
        return None;
    }
    if ways.iter().all(|way| way.needs.0.is_empty()) {
        return Some(if is_fused { Job::LiveFused } else { Job::Live });
    }
    let is_keyed = |way: &&Way| {
        let mut keys = roles.controls(ControlRole::Ignition);
        matches!(way.needs.0.as_slice(), [(control, mask)]
            if keys.any(|key| key == *control) && mask & 1 == 0 && mask & 2 != 0)
    };
    ways.iter().all(is_keyed).then_some(if is_fused { Job::KeyLiveFused } else { Job::KeyLive })
}

/// A feed that serves one kind of consumer.
fn by_load(side: &Side<'_>, roles: &Roles, wire: WireId, ways: &[&Way]) -> Option<Job> {
    let mut fed: Vec<Role> = Vec::new();
    // Before a switch a feed keeps the colour that it comes with; behind it, it takes that of its job.
    let mut is_direct = true;
    for &(load_idx, without_contact) in side.fed_by(wire) {
        is_direct &= without_contact;
        let load = &side.wiring.loads[load_idx];
        match roles.load(load_idx) {
            Some(Role::Coil) => fed.extend(beams_of_relay(side, roles, load.part)),
            Some(Role::TellTale | Role::HazardTellTale) => {}
            Some(role) => fed.push(role),
            None if load.kind == LoadKind::Voltmeter => {}
            None => return None,
        }
    }
    fed.sort_unstable();
    fed.dedup();
    Some(match fed.as_slice() {
        [Role::LeftIndicator, Role::RightIndicator]
            if ways.iter().all(|way| way.flasher.is_some()) =>
        {
            Job::FlasherOut
        }
        [Role::MainBeam, Role::DipBeam] => Job::Headlamps,
        _ if !is_direct => return None,
        [Role::LeftIndicator] => Job::LeftIndicators,
        [Role::RightIndicator] => Job::RightIndicators,
        [Role::MainBeam] => Job::MainBeam,
        [Role::DipBeam] => Job::DipBeam,
        [Role::Side] | [Role::Side, Role::Panel] => Job::SideLamps,
        [Role::Panel] => Job::PanelLamps,
        [Role::Stop] => Job::StopLamps,
        [Role::Reversing] => Job::ReversingLamps,
        [Role::FrontFog | Role::RearFog] => Job::FogLamps,
        [Role::DrivingLamp] => Job::DrivingLamps,
        [Role::Ignition] => Job::Ignition,
        [Role::StarterTrigger] => Job::StarterTrigger,
        _ => return None,
    })
}

/// The headlamp beams that a relay lights when it pulls in: its trigger lead has their colour. What else a relay works
/// says nothing of its trigger, which keeps the colour of where it is tapped.
fn beams_of_relay(side: &Side<'_>, roles: &Roles, relay: PartId) -> Vec<Role> {
    let numbers = side.wiring.relays.iter().enumerate().filter(|(_, (part, _))| *part == relay);
    let controls: Vec<usize> = numbers.map(|(number, _)| side.wiring.n_controls + number).collect();
    let needs = |way: &Way| {
        way.needs.0.iter().any(|&(known, mask)| controls.contains(&known) && mask & 1 == 0)
    };
    let lit = side.wiring.loads.iter().enumerate().filter(|(_, load)| {
        side.fed_end(load).is_some_and(|(fed, _)| side.live.regular(fed).any(needs))
    });
    let roles: Vec<Role> = lit.filter_map(|(load_idx, _)| roles.load(load_idx)).collect();
    let are_beams = roles.iter().all(|role| matches!(role, Role::MainBeam | Role::DipBeam));
    if are_beams { roles } else { Vec::new() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_colour_of_a_job_has_that_job() {
        let jobs = [
            Job::Earth,
            Job::Live,
            Job::LiveFused,
            Job::KeyLive,
            Job::KeyLiveFused,
            Job::Ignition,
            Job::StarterTrigger,
            Job::FlasherOut,
            Job::LeftIndicators,
            Job::RightIndicators,
            Job::StopLamps,
            Job::Headlamps,
            Job::MainBeam,
            Job::DipBeam,
            Job::DrivingLamps,
            Job::SideLamps,
            Job::PanelLamps,
            Job::FogLamps,
            Job::ReversingLamps,
        ];
        for job in jobs {
            for code in [ColourCode::BsAu7, ColourCode::BsAu7a] {
                let colour = job.colour(code).expect("a colour");
                assert!(jobs_of_colour(colour).contains(&job), "{job:?}");
            }
            assert_eq!(job.colour(ColourCode::Din), None);
        }
    }

    #[test]
    fn colours_are_those_of_the_published_list() {
        // BS AU 7a:1983: green/red left, green/white right, blue/yellow long-range lamp, white/red starter solenoid.
        let of = |text: &str| jobs_of_colour(WireColour::read(text).expect("colour"));
        assert_eq!(of("GR"), [Job::LeftIndicators]);
        assert_eq!(of("GW"), [Job::RightIndicators]);
        assert_eq!(of("UY"), [Job::DrivingLamps]);
        assert_eq!(of("WR"), [Job::StarterTrigger]);
        assert_eq!(of("RW"), [Job::PanelLamps]);
        assert_eq!(of("K").len(), 0);
    }
}
