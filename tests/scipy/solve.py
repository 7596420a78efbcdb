#!/usr/bin/env python3
"""Solves circuits with scipy, beside the program and without a line of it.

    python3 -m venv /tmp/scipy && /tmp/scipy/bin/pip install numpy scipy
    /tmp/scipy/bin/python tests/scipy/solve.py write   # works solved.json out anew
    /tmp/scipy/bin/python tests/scipy/solve.py time    # ms a state of whole-car.sketch, and ours beside it

`write` makes random circuits, the same ones every time, and stores volts of all their terminals; a test of
tests/tests/it/solved_by_scipy.rs compares the program with them. The figures that the program takes where a drawing
gives none stand under "taken" in solved.json and are read from there. Where one of them changes in the program, that test says so:
`BLESS=1 cargo test -p loomwright-tests scipy` puts the new ones in, and `write` works the volts out anew.

The equations are written down here a second time: nodes and branches of the few part types below, Kirchhoff's current
law, Newton's method on scipy.sparse's LU with partial pivoting. The residual is summed in extended precision, so that
the last steps refine what is left of rounding.
"""

import json
import pathlib
import random
import shlex
import statistics
import subprocess
import sys
import time

import numpy as np
import scipy
from scipy.sparse import csc_matrix
from scipy.sparse.linalg import splu

HERE = pathlib.Path(__file__).parent
TABLE = HERE / "solved.json"

# ---- a circuit out of a sketch -----------------------------------------------------------------------------------


class Circuit:
    """Branches between numbered nodes; node 0 is the reference."""

    def __init__(self, sketch, setting, taken):
        self.taken, self.setting, self.nodes, self.terminals = taken, setting, {}, {}
        self.resistors, self.lamps, self.batteries = [], [], []
        self.types, self.reference = {}, None
        lines = [shlex.split(line) for line in sketch.splitlines() if line.strip()]
        self.earthed = "+" if lines[0][3] == "positive" else "-"
        for words in lines[1:]:
            if words[0] != "wire":
                self.place(words)
        for words in lines[1:]:
            if words[0] == "wire":
                self.wire(words)

    def node(self, name):
        return self.nodes.setdefault(name, len(self.nodes))

    def terminal(self, part, name):
        self.terminals[f"{part}.{name}"] = self.node((part, name))
        return self.terminals[f"{part}.{name}"]

    def resistor(self, a, b, ohms):
        self.resistors.append((a, b, 1.0 / max(ohms, self.taken["least_ohms"])))

    def place(self, words):
        kind, part, taken = words[0], words[1], self.taken
        self.types[part] = kind
        if kind == "battery":
            volts, amp_hours = float(words[2]), float(words[4])
            posts = {post: self.terminal(part, post) for post in "+-"}
            if self.reference is None:
                self.reference = posts[self.earthed]
            emf = taken["cell_volts"] * volts / 2.0
            gives = taken["battery_ohms_12_v_50_ah"] * (volts / 12.0) * (50.0 / amp_hours)
            over = (14.2 - taken["cell_volts"] * 6.0) * volts / 12.0
            takes = over / (taken["charge_share_at_14_2_v"] * amp_hours)
            self.batteries.append((posts["+"], posts["-"], emf, 1.0 / gives, 1.0 / takes))
        elif kind == "joint":
            self.terminal(part, "1")
        elif kind == "earth":
            self.resistor(self.terminal(part, "1"), self.node(("metal", words[2])), taken["earth_point_ohms"])
        elif kind == "bullet-connector":
            self.resistor(self.terminal(part, "1"), self.terminal(part, "2"), 2.0 * taken["bullet_half_ohms"])
        else:
            a, b = self.terminal(part, "1"), self.terminal(part, "2")
            if kind == "fuse":
                cold = taken[f"blade_fuse_{words[3]}_a_ohms"]
                self.resistor(a, b, cold + taken["fuse_holder_ohms"])
            elif kind == "switch":
                if self.setting.get(words[2], "off") == "on":
                    self.resistor(a, b, taken["switch_contact_ohms"])
            elif kind == "resistor":
                self.resistor(a, b, float(words[2].split("=")[1]))
            elif kind == "lamp":
                self.lamps.append((a, b, 12.0, float(words[2]) / 12.0))
            else:
                sys.exit(f"this script knows no {kind}")

    def wire(self, words):
        ends = [end if "." in end else f"{end}.1" for end in words[2:4]]
        size, length = float(words[4]), float(words[6])
        is_bolted = size >= self.taken["bolted_from_square_mm"]
        end = self.taken["bolted_end_ohms" if is_bolted else "crimped_end_ohms"]
        ohms = self.taken["resistivity_ohm_mm2_a_metre"] * length / size + 2.0 * end
        self.resistor(*[self.terminals[end] for end in ends], ohms)

    def ready(self):
        """Arrays, over the nodes that hang on the reference only."""
        count = len(self.nodes)
        ends = [(row[0], row[1]) for row in self.resistors + self.lamps + self.batteries]
        top = list(range(count))

        def find(at):
            while top[at] != at:
                at = top[at]
            return at

        for a, b in ends:
            top[find(a)] = find(b)
        self.is_home = [find(at) == find(self.reference) for at in range(count)]
        known = [at for at in range(count) if self.is_home[at] and at != self.reference]
        self.index = {at: idx for idx, at in enumerate(known)}
        self.size = len(known)
        there = lambda rows: [row for row in rows if self.is_home[row[0]] and row[0] != row[1]]
        self.resistors, self.lamps, self.batteries = map(there, (self.resistors, self.lamps, self.batteries))
        rows = self.resistors + self.lamps + self.batteries
        # The reference is put at the end.
        at = lambda node: self.index.get(node, self.size)
        self.a = np.array([at(row[0]) for row in rows])
        self.b = np.array([at(row[1]) for row in rows])
        column = lambda rows, idx: np.array([row[idx] for row in rows], dtype=float)
        self.siemens = column(self.resistors, 2)
        self.marked = column(self.lamps, 2), column(self.lamps, 3)
        self.source = [column(self.batteries, idx) for idx in (2, 3, 4)]
        return self

    # ---- Newton's method -----------------------------------------------------------------------------------------

    def branches(self, volts):
        """Current from a to b and its slope, of every branch."""
        across = volts[self.a] - volts[self.b]
        first, second = len(self.resistors), len(self.resistors) + len(self.lamps)
        amps = [self.siemens * across[:first]]
        slopes = [self.siemens]
        current, slope = tungsten(across[first:second], *self.marked, self.taken)
        amps.append(current), slopes.append(slope)
        emf, gives, takes = self.source
        beyond = across[second:] - emf
        siemens = np.where(beyond > 0, takes, gives)
        amps.append(siemens * beyond), slopes.append(siemens)
        return np.concatenate(amps), np.concatenate(slopes).astype(float)

    def matrix(self, slopes):
        n = self.size
        rows = np.concatenate([self.a, self.b, self.a, self.b])
        columns = np.concatenate([self.a, self.b, self.b, self.a])
        values = np.concatenate([slopes, slopes, -slopes, -slopes])
        keep = (rows < n) & (columns < n)
        return csc_matrix((values[keep], (rows[keep], columns[keep])), shape=(n, n))

    def left_over(self, amps, dtype):
        left = np.zeros(self.size + 1, dtype=dtype)
        np.add.at(left, self.a, -amps)
        np.add.at(left, self.b, amps)
        return left[:-1]

    def solve(self, dtype=float, last_step=1e-9):
        """Volts of all nodes; each step is halved until less current is left over than before."""
        volts = np.zeros(self.size + 1, dtype=dtype)
        amps, slopes = self.branches(volts)
        left = self.left_over(amps, dtype)
        for iteration in range(200):
            step = splu(self.matrix(slopes)).solve(left.astype(float))
            before, share = np.abs(left).max(), 1.0
            while True:
                trial = volts.copy()
                trial[:-1] += share * step
                amps, slopes = self.branches(trial)
                left = self.left_over(amps, dtype)
                if np.abs(left).max() < before or share < 1e-3 or before < 1e-9:
                    break
                share /= 2.0
            volts = trial
            if share == 1.0 and np.abs(step).max() < last_step:
                return volts, iteration + 1
        sys.exit("no convergence")

    def terminal_volts(self, volts):
        at = lambda node: float(volts[self.index[node]]) if node in self.index else 0.0
        return {
            name: (at(node) if self.is_home[node] else None)
            for name, node in sorted(self.terminals.items())
        }


def tungsten(volts, marked_volts, marked_amps, taken):
    """i = 12 x / (1 + k x²)^0.225 marked amps, with k such that i is the marked current at x = 1."""
    half = (1.0 - taken["tungsten_current_exponent"]) / 2.0
    cold = taken["tungsten_hot_over_cold"]
    knee = np.longdouble(cold) ** (1.0 / np.longdouble(half)) - 1.0
    if volts.dtype == float:
        knee = float(knee)
    x = volts / marked_volts
    u = knee * x * x
    secant = cold * marked_amps / marked_volts * np.exp(-half * np.log1p(u))
    return secant * volts, secant * (1.0 - 2.0 * half * u / (1.0 + u))


# ---- random circuits ---------------------------------------------------------------------------------------------


def random_circuit(number):
    """Joints on a tree of wires, with more wires and parts between them; every second circuit has lamps."""
    dice = random.Random(1964 + number)
    joints = dice.randint(4, 12)
    has_lamps, is_positive = number % 2 == 1, number % 5 == 4
    earthed, live = ("+", "-") if is_positive else ("-", "+")
    lines = [f"car 12 V {'positive' if is_positive else 'negative'} earth"]
    wires, setting = [], {}

    def wire(a, b, size=None, length=None):
        size = size or dice.choice([0.5, 1, 2, 4, 16])
        length = round(dice.uniform(0, 5), 2) if length is None else length
        wires.append(f"wire W{len(wires) + 1} {a} {b} {size} mm2 {length} m")

    any_joint = lambda: f"J{dice.randrange(joints)}.1"
    for idx in range(joints):
        lines.append(f"joint J{idx}")
        if idx:
            wire(f"J{idx}.1", f"J{dice.randrange(idx)}.1")
    for idx in range(dice.randint(1, 3)):
        lines.append(f"battery B{idx} 12 V {dice.choice([30, 40, 50, 70])} Ah")
        # The others stand somewhere, maybe between two live places.
        wire(f"B{idx}.{live}", "J0.1" if idx == 0 else any_joint(), 16, 0.5)
        lines.append(f"earth P{idx} {'body' if idx == 0 else dice.choice(['body', 'engine'])}")
        wire(f"B{idx}.{earthed}", f"P{idx}.1", 16, 0.4)
    if dice.random() < 0.8:
        lines += ["earth Block engine", "earth Bell body"]
        wire("Block.1", "Bell.1", 16, 0.3)
    for idx in range(dice.randint(3, 9)):
        kind = dice.choice(["resistor", "fuse", "switch", "connector", "lamp", "load", "load"])
        part = f"X{idx}"
        if kind == "lamp" and not has_lamps or kind == "load":
            kind = dice.choice(["resistor", "lamp"]) if has_lamps else "resistor"
            ends = [any_joint(), f"Y{idx}.1"]
            lines.append(f"earth Y{idx} {dice.choice(['body', 'engine'])}")
        else:
            ends = [any_joint(), any_joint()]
        if kind == "resistor":
            lines.append(f"resistor {part} ohms={round(10 ** dice.uniform(-1, 3), 4)}")
        elif kind == "fuse":
            lines.append(f"fuse {part} blade {dice.choice([5, 10, 15, 20, 30])} A")
        elif kind == "switch":
            lines.append(f'switch {part} "control {part}" off: ; on: 1-2')
            setting[f"control {part}"] = dice.choice(["off", "on"])
        elif kind == "connector":
            lines.append(f"bullet-connector {part}")
        else:
            lines.append(f"lamp {part} {dice.choice([2.2, 5, 21, 55])} W")
        wire(ends[0], f"{part}.1")
        wire(f"{part}.2", ends[1])
    for _ in range(dice.randint(0, 5)):
        a, b = any_joint(), any_joint()
        if a != b:
            wire(a, b)
    return {"name": f"random {number}", "has_lamps": has_lamps, "setting": setting,
            "sketch": "\n".join(lines + wires) + "\n"}


def write():
    taken = json.loads(TABLE.read_text())["taken"]
    circuits = []
    for number in range(40):
        circuit = random_circuit(number)
        solved = Circuit(circuit["sketch"], circuit["setting"], taken).ready()
        # Steps in extended precision, until nothing but its rounding is left.
        volts, _ = solved.solve(np.longdouble, 1e-15)
        circuit["volts"] = solved.terminal_volts(volts)
        circuits.append(circuit)
    about = (f"Volts of every terminal by numpy {np.__version__} and scipy {scipy.__version__}, "
             "by tests/scipy/solve.py; see there how to work them out anew.")
    table = {"about": about, "taken": taken, "circuits": circuits}
    TABLE.write_text(json.dumps(table, indent=1, sort_keys=False) + "\n")
    print(f"{len(circuits)} circuits, {sum(len(c['volts']) for c in circuits)} terminals")


# ---- times -------------------------------------------------------------------------------------------------------


def measure():
    """Time of a state of the whole car from nothing; then the program's own bench, in the same run."""
    taken = json.loads(TABLE.read_text())["taken"]
    sketch = (HERE / "whole-car.sketch").read_text()
    times, iterations = [], []
    for count in range(25):
        setting = {f"circuit {idx}": "on" for idx in range(count)}
        circuit = Circuit(sketch, setting, taken).ready()
        runs = []
        for _ in range(7):
            start = time.perf_counter()
            _, taken_iterations = circuit.solve()
            runs.append(time.perf_counter() - start)
        times.append(statistics.median(runs))
        iterations.append(taken_iterations)
    theirs = statistics.mean(times)
    print(f"scipy: {1e3 * theirs:.3f} ms a state, {statistics.mean(iterations):.1f} iterations, "
          f"{circuit.size} nodes")
    bench = ["cargo", "bench", "-p", "loomwright-electrics", "--bench", "step"]
    said = subprocess.run(bench, cwd=HERE.parent.parent, capture_output=True, text=True, check=True).stdout
    print(said, end="")
    line = next(line for line in said.splitlines() if line.startswith("one state from nothing"))
    ours = float(line.split(":")[1].split()[0]) * 1e-6
    print(f"ours: {1e3 * ours:.3f} ms a state; scipy takes {theirs / ours:.0f} times as long")


if __name__ == "__main__":
    {"write": write, "time": measure}.get(sys.argv[1] if len(sys.argv) == 2 else "", lambda: sys.exit(__doc__))()
