//! A battery of another voltage than the car's.

use loomwright_circuit::{Edit, PartId, SystemVoltage};
use loomwright_units::Volts;

use crate::ctx::Ctx;
use crate::messages::{Common, VO01};
use crate::rule::{Needs, Out, Rule};
use crate::volts::BatteryRow;
use crate::{Finding, Level, Trust};

pub(super) const RULE: Rule = Rule {
    code: "VO01",
    name: "battery-of-other-volts",
    title: "Battery of other volts",
    level: Level::Fault,
    since: "0.1.0",
    help: include_str!("battery_of_other_volts.md"),
    needs: Needs::Drawing,
    check,
};

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    for row in ctx.battery_rows() {
        if ctx.is_other_voltage(row.volts) {
            out.push(finding(ctx, &row));
        }
    }
}

fn finding(ctx: &Ctx<'_>, row: &BatteryRow) -> Finding {
    let names = ctx.part_names(row.parts.iter().copied());
    let (given, system) = (Volts(row.volts), Volts(ctx.system_volts()));
    let says = match row.parts.as_slice() {
        [_] => VO01::says_one(&names, given, system),
        _ => VO01::says_row(&names, given, system),
    };
    let finding = RULE
        .says(says)
        .advise(VO01::advice())
        .parts(row.parts.iter().copied())
        .figure("volts", row.volts)
        .figure("system_volts", ctx.system_volts())
        .source(Common::practice());
    let other = [SystemVoltage::Six, SystemVoltage::Twelve, SystemVoltage::TwentyFour]
        .into_iter()
        .find(|voltage| (voltage.volts().0 - row.volts).abs() < 0.5);
    let vehicle = other.map(|voltage| {
        let mut vehicle = ctx.car.vehicle().clone();
        vehicle.voltage = voltage;
        Edit::SetVehicle(vehicle)
    });
    let one = match row.parts.as_slice() {
        [part] => marked(ctx, *part),
        _ => None,
    };
    finding.fix(VO01::fix_battery(system), Trust::Ask, one).fix(
        VO01::fix_car(given),
        Trust::Ask,
        vehicle,
    )
}

/// The battery with the car's volts on it.
fn marked(ctx: &Ctx<'_>, id: PartId) -> Option<Edit> {
    let n_elements = ctx.car.type_of(id)?.elements.len();
    let fact = (0..n_elements).find_map(|element| ctx.volts_fact(id, element))?;
    ctx.set_fact(id, &fact, ctx.system_volts())
}
