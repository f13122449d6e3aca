package main

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"fitcoil/internal/must"
)

// refused are command lines with the exit code of each and all that it says.
const refused = `
nonsense
2 fitcoil: there is no command "nonsense"; see fitcoil --help

fits lighthouse.csv
2 fitcoil: there is no command "fits", did you mean fitcoil fit? see fitcoil --help

lighthouse.csv
2 fitcoil: there is no command "lighthouse.csv", did you mean fitcoil fit lighthouse.csv? see fitcoil --help

-x
2 fitcoil: read "-x", expected a command; flags come after it, as in fitcoil fit LOG --json

fit
2 fitcoil: fit needs LOG...; see fitcoil fit --help

fit ""
2 fitcoil: an argument is empty; is the name of a file missing? see fitcoil fit --help

fit lighthouse.csv rebuilt.csv extra.csv --plots p
2 fitcoil: --plots, --profile, --monte-carlo and --known-from are for one log; see fitcoil fit --help

check lighthouse.csv rebuilt.csv
2 fitcoil: check takes LOG, but there is also "rebuilt.csv"; see fitcoil check --help

compare lighthouse.csv
2 fitcoil: compare needs LOG_A LOG_B; see fitcoil compare --help

version now
2 fitcoil: version takes no argument, but there is "now"; see fitcoil version --help

fit lighthouse.csv --jsn
2 fitcoil: fit has no flag --jsn, did you mean --json? see fitcoil fit --help

fit lighthouse.csv -json
2 fitcoil: fit has no flag -json, did you mean --json? see fitcoil fit --help

fit lighthouse.csv -q
2 fitcoil: fit has no flag -q; see fitcoil fit --help

fit lighthouse.csv --json=maybe
2 fitcoil: --json: read "maybe", but it is given alone, without a value; see fitcoil fit --help

fit lighthouse.csv --json --csv
2 fitcoil: --json and --csv are two forms of one output; give one; see fitcoil fit --help

fit lighthouse.csv --coil
2 fitcoil: --coil needs a file: coil sheet, a CSV file of what is known of the coil; its drawing replaces the uniform line; see fitcoil fit --help

fit lighthouse.csv --coil ""
2 fitcoil: --coil: needs a value, but what is given is empty; see fitcoil fit --help

fit lighthouse.csv --coil a.csv --coil b.csv
2 fitcoil: --coil: given twice, first as "a.csv"; give it once; see fitcoil fit --help

fit lighthouse.csv --plots -
2 fitcoil: --plots needs a folder; figures don't go to standard output; see fitcoil fit --help

fit lighthouse.csv --format svg
2 fitcoil: --format needs --plots, the folder to draw into; see fitcoil fit --help

fit lighthouse.csv --plots plots --format swg
2 fitcoil: --format: read "swg", expected svg, png or pdf, did you mean svg? see fitcoil fit --help

fit lighthouse.csv ---
2 fitcoil: read "---", expected a flag, as --json, or a file name after --; see fitcoil fit --help

fit lighthouse.csv -test.v
2 fitcoil: fit has no flag -test.v; see fitcoil fit --help

fit lighthouse.csv --seed 0.5
2 fitcoil: --seed: read "0.5", expected a whole number from 0 to 2147483647; see fitcoil fit --help

fit lighthouse.csv --monte-carlo 1000001
2 fitcoil: --monte-carlo: read "1000001", expected a whole number from 1000 to 1000000; see fitcoil fit --help

fit nothing.csv
4 fitcoil: can't read nothing.csv: there is no such file; name one that exists, or - for standard input

fit lighthose.csv
4 fitcoil: can't read lighthose.csv: there is no such file; did you mean lighthouse.csv?

fit .
4 fitcoil: can't read .: it is a folder; name a file in it

fit captures
4 fitcoil: can't read captures: it is a folder; name a file in it

fit bad.csv
3 bad.csv:3:1 (column A, "frequency [MHz]"): read "x", expected a number in MHz

fit unused.csv
6 fitcoil: every reading is marked as not used; set use to yes for those to fit

fit lighthouse-coil.csv
3 lighthouse-coil.csv: this is a coil sheet, not a bench log; compute the coil with: fitcoil coil lighthouse-coil.csv, or give it beside a log with --coil

fit captures/lighthouse-ringdown.csv
3 captures/lighthouse-ringdown.csv: this looks like a capture of the oscilloscope (time and voltage), not like a bench log; find its frequency with: fitcoil capture captures/lighthouse-ringdown.csv

fit - --coil -
2 fitcoil: standard input can be read once only; put the log or the coil sheet into a file; see fitcoil fit --help

compare - -
3 standard input: the file is empty, expected a header, and rows below it

fit lighthouse.csv --tolerance 100%
2 fitcoil: --tolerance: read "100%", expected a percentage from 0 to below 100, as 5%, and behind it the words common or own, and rectangular, where that is meant

fit lighthouse.csv --tolerance -1%
2 fitcoil: --tolerance: read "-1%", expected a percentage from 0 to below 100, as 5%, and behind it the words common or own, and rectangular, where that is meant

fit lighthouse.csv --tolerance 5pF
2 fitcoil: --tolerance: read "5pF", expected a percentage such as 60%; pF is the unit of a capacitance

fit lighthouse.csv --known inductance
2 fitcoil: --known: read "inductance", expected NAME=VALUE±UNCERTAINTY, as inductance=770uH±2%

fit lighthouse.csv --known "inductanse=1mH"
2 fitcoil: --known: "inductanse" is taken as the name of a part: read "1mH", expected a capacitance with its unit (fF, pF, nF, µF, F); mH is the unit of an inductance

fit lighthouse.csv --known "roof=2.8pF±5%"
2 fitcoil: --known roof: neither a quantity nor a part on the top has this name; the parts are 2.2 pF, 4.7 pF, 10 pF, 22 pF, lantern roof

fit lighthouse.csv --known "lantern roof=2.8pF" --known "Lantern Roof=2.9pF"
2 fitcoil: --known: "lantern roof" is taken as the name of a part: read "2.8pF", expected a value with its uncertainty, as 770uH±2%; say how well the value is known, if only roughly

fit lighthouse.csv --known "lantern rof=2.8pF"
2 fitcoil: --known: "lantern rof" is taken as the name of a part: read "2.8pF", expected a value with its uncertainty, as 770uH±2%; say how well the value is known, if only roughly

fit lighthouse.csv --coil lighthouse.csv
3 lighthouse.csv:5: read "frequency [MHz],frequency ± [kHz],added …", expected the header of a coil sheet: quantity,value,±,unit; put that header on top; a bench log is no coil sheet

fit lighthouse.csv --new-bench
2 fitcoil: --new-bench needs --known-from: it says of an earlier session that it was elsewhere; see fitcoil fit --help

fit lighthouse.csv --known-from later.json
3 later.json: this is not the JSON output of fitcoil fit; make it with: fitcoil fit LOG --json

fit lighthouse.csv --known-from gone.json
4 fitcoil: can't read gone.json: there is no such file; name one that exists, or - for standard input

fit lighthouse.csv --top-voltage 20kV
2 fitcoil: fit has no flag --top-voltage; see fitcoil fit --help

budget lighthouse.csv
2 fitcoil: budget needs --for: L, C, gain, hand or a name of the JSON output, as --for L; see fitcoil budget --help

budget lighthouse.csv --for inductanse
2 fitcoil: --for: read "inductanse", expected L, C, gain, hand, coupling, frequency@STATE or the name of a quantity that fitcoil fit --json reports for this log; did you mean inductance?

budget lighthouse.csv --for core_gain:oak
2 fitcoil: --for: read "core_gain:oak", expected L, C, gain, hand, coupling, frequency@STATE or the name of a quantity that fitcoil fit --json reports for this log

budget two.csv --for hand
2 fitcoil: --for: read "hand", expected L, C, gain, hand, coupling, frequency@STATE or the name of a quantity that fitcoil fit --json reports for this log

next lighthouse.csv
2 fitcoil: next needs --for: L, C, gain, hand or frequency@STATE, as --for L; see fitcoil next --help

next lighthouse.csv --for L --have 1nH
2 fitcoil: --have: read "1nH", expected a capacitance with its unit (fF, pF, nF, µF, F); nH is the unit of an inductance

next lighthouse.csv --for L --how-many 21
2 fitcoil: --how-many: read "21", expected a whole number from 1 to 20; see fitcoil next --help

next lighthouse.csv --for L --list 0
2 fitcoil: --list: read "0", expected a whole number from 1 to 1000; see fitcoil next --help

next two.csv --for hand
2 fitcoil: --for: read "hand", expected L, C, gain, hand, coupling, frequency@STATE or the name of a quantity that fitcoil fit --json reports for this log

predict lighthouse.csv --by added
2 fitcoil: --by needs --reach, as --reach 1.5MHz --by added

predict lighthouse.csv --have 1pF
2 fitcoil: --have needs --reach without --by, as --reach 1.5MHz --have 3.3pF,6.8pF

predict lighthouse.csv --reach 1.5MHz --by added --have 1pF
2 fitcoil: --have needs --reach without --by, as --reach 1.5MHz --have 3.3pF,6.8pF

predict lighthouse.csv --reach 1.5MHz --sweep "bead spacing=1mm..8mm"
2 fitcoil: --reach and --sweep are two questions; ask one at a time

predict lighthouse.csv --reach 1.5MHz "ball diameter=30mm"
2 fitcoil: "ball diameter=30mm": --reach and --sweep ask of the coil as it is; leave changes of its drawing out

predict lighthouse.csv --reach 0Hz
2 fitcoil: --reach: read "0Hz", expected a frequency above zero, as 1.5MHz

predict lighthouse.csv --reach 1.5pF
2 fitcoil: --reach: read "1.5pF", expected a frequency with its unit (Hz, kHz, MHz, GHz); pF is the unit of a capacitance

predict lighthouse.csv --reach 1.5MHz --by sideways
2 fitcoil: --by: read "sideways", expected added, covered or hand; see fitcoil predict --help

predict lighthouse.csv --reach 1.5MHz --by covered
2 fitcoil: --by covered needs the core to slide in, as core=rod

predict lighthouse.csv --reach 1.5MHz --plots plots
2 fitcoil: --reach draws no figure; leave --plots out

predict lighthouse.csv --reach 1.5MHz bare / core=rod
2 fitcoil: --reach takes one state to start from, not 2

predict lighthouse.csv --reach 1.5MHz --have 1nH
2 fitcoil: --have: read "1nH", expected a capacitance with its unit (fF, pF, nF, µF, F); nH is the unit of an inductance

predict lighthouse.csv / bare
2 fitcoil: a state beside a / is empty; write bare for the bare coil

predict lighthouse.csv bare /
2 fitcoil: a state beside a / is empty; write bare for the bare coil

predict lighthouse.csv bare / / bare
2 fitcoil: a state beside a / is empty; write bare for the bare coil

predict lighthouse.csv spin=3
2 fitcoil: in the state: "spin=3": read "spin", expected added, core, covered, hand or primary

predict lighthouse.csv added=3
2 fitcoil: in the state: "added=3": read "3", expected a capacitance with its unit (fF, pF, nF, µF, F); the unit is missing

predict lighthouse.csv core=oak
2 fitcoil: in the state: "core=oak": read "oak", expected a core that the log has readings of (rod)

predict lighthouse.csv --states gone.csv
4 fitcoil: can't read gone.csv: there is no such file; name one that exists, or - for standard input

predict lighthouse.csv --sweep "bead spacing=1mm..8mm"
2 fitcoil: a change of the drawing needs --coil with a sheet that gives turns, winding diameter and winding length

predict lighthouse.csv "ball diameter=30mm"
2 fitcoil: a change of the drawing needs --coil with a sheet that gives turns, winding diameter and winding length

predict lighthouse.csv --top-voltage 0V --coil lighthouse-coil.csv
2 fitcoil: --top-voltage: read "0V", expected a voltage above zero, as 20kV

predict lighthouse.csv --top-voltage 20kV
2 fitcoil: --top-voltage needs --coil with a sheet that gives turns, winding diameter and winding length: voltages stand between turns

predict lighthouse.csv --coil lighthouse-coil.csv --sweep "bead spacing=1mm"
2 fitcoil: --sweep: read "1mm", expected two values joined by .., such as 1mm..8mm

predict lighthouse.csv --coil lighthouse-coil.csv --sweep "bead spacing=1mm..8mm" bare / core=rod
2 fitcoil: --sweep takes one state, not 2

predict lighthouse.csv --coil lighthouse-coil.csv "ball diameter=30mm" "ball diameter=40mm"
2 fitcoil: "ball diameter=30mm" is undone by another change: a change is that of the coil, in all states; ask for one after the other, or --sweep

predict lighthouse.csv --coil lighthouse-coil.csv "ball diameter=30pF"
2 fitcoil: in the change "ball diameter=30pF": read "30pF", expected a length with its unit (µm, mm, cm, in, m); pF is the unit of a capacitance

predict lighthouse.csv --coil lighthouse-coil.csv "winding length=1mm"
2 fitcoil: winding length=1mm: turns 640: expected at most 100, a pitch of 10 µm

coil gone.csv
4 fitcoil: can't read gone.csv: there is no such file; name one that exists, or - for standard input

coil lighthouse-coil.csv --hand 5kg
2 fitcoil: --hand: read "5kg", expected a length with its unit (µm, mm, cm, in, m); nothing but the unit may follow the number

coil lighthouse.csv
3 lighthouse.csv:5: read "frequency [MHz],frequency ± [kHz],added …", expected the header of a coil sheet: quantity,value,±,unit; put that header on top; a bench log is no coil sheet

report lighthouse.csv
2 fitcoil: report needs -o, the file to write, as -o page.html; - is standard output; see fitcoil report --help

report lighthouse.csv -o gone/page.html
5 fitcoil: can't write gone/page.html: its folder doesn't exist; make it first

report lighthouse.csv -o lighthouse.csv
5 fitcoil: can't write lighthouse.csv: it is an input of this run; choose another name

capture lighthouse.csv
3 lighthouse.csv:5: this is a bench log, not a capture of the oscilloscope; fit it with: fitcoil fit lighthouse.csv

capture short.csv
3 short.csv: the table has 2 rows, expected at least 3; save the capture as CSV with its samples, not as a picture or a set-up

capture sweep.csv
6 fitcoil: sweep.csv: a resonance curve of 3 frequencies; at least 7 are needed, three of them where the amplitude is above 70 % of the peak

capture gone.csv
4 fitcoil: can't read gone.csv: there is no such file; name one that exists, or - for standard input

capture captures/lighthouse-ringdown.csv --interval 0s
2 fitcoil: --interval: read "0s", expected a time above zero, as 10ns

capture captures/lighthouse-ringdown.csv --interval 5pF
2 fitcoil: --interval: read "5pF", expected a time with its unit (ps, ns, µs, ms, s); pF is the unit of a capacitance

capture captures/lighthouse-ringdown.csv --timebase 0ppm
2 fitcoil: --timebase: read "0ppm", expected an uncertainty above zero, as 50ppm

capture captures/lighthouse-ringdown.csv --append log.csv
2 fitcoil: --append needs the state of the coil in --row: bare, or words such as core=rod,added=4.7pF

capture captures/lighthouse-ringdown.csv --append - --row bare
2 fitcoil: --append needs a file; leave it out to print the row

capture captures/lighthouse-ringdown.csv --row bare --json
2 fitcoil: --row and --append make a row of a log, which is CSV; leave --json and --csv out

capture captures/lighthouse-ringdown.csv --row spin=3
2 fitcoil: --row: "spin=3": read "spin", expected added, core, covered, hand, primary, use or note

capture captures/lighthouse-ringdown.csv --row bare --append bad.csv
3 bad.csv:3:1 (column A, "frequency [MHz]"): read "x", expected a number in MHz

capture captures/lighthouse-ringdown.csv --column 9
3 captures/lighthouse-ringdown.csv:11: there is no column of voltages called "9", expected CH1 [V] (column B)

log
2 fitcoil: log needs LOG, the file to write; --new begins one to fill in; see fitcoil log --help

log lighthouse-coil.csv
3 lighthouse-coil.csv:2:1 (column A): read "quantity", expected a header that tells what these values are; use this header: core,note: value,note: ±,unit
lighthouse-coil.csv:2:2 (column B): read "value", expected a header that tells what these numbers are, and their unit
lighthouse-coil.csv:2:3 (column C): read "±", expected a header that tells what these numbers are, and their unit

completion
2 fitcoil: completion needs bash|zsh|fish; see fitcoil completion --help

completion zhs
2 fitcoil: read "zhs", expected bash, zsh or fish, did you mean zsh? see fitcoil completion --help

completion bash zsh
2 fitcoil: completion takes bash|zsh|fish, but there is also "zsh"; see fitcoil completion --help

man fitt
2 fitcoil: man takes no argument, but there is "fitt"; see fitcoil man --help
`

// What can't be done is told in one line or two, which say what to do; nothing goes to standard
// output.
func TestRefusals(t *testing.T) {
	inDemo(t)
	for name, content := range map[string]string{
		"unused.csv": "frequency [MHz],use\n2.5,no\n", "bad.csv": "frequency [MHz],added [pF]\n2.5,\nx,5\n", "sweep.csv": "frequency [kHz],amplitude [mV]\n100,1\n200,2\n300,1\n", "taken.svg": "", "short.csv": "time [s],V\n0,1\n1e-6,0\n",
		"two.csv": "frequency [MHz],added [pF],core\n2.524,,\n1.635,4.7,\n1.9,,rod\n", "later.json": "{}",
	} {
		must.Do(t, os.WriteFile(name, []byte(content), 0o666))
	}
	blocks := strings.Split(strings.TrimSpace(refused), "\n\n")
	for _, b := range blocks {
		line, want, _ := strings.Cut(b, "\n")
		a := ask("", shellWords(line)...)
		if got := fmt.Sprintf("%d %s", a.code, strings.TrimSpace(a.err)); got != want || a.out != "" {
			t.Errorf("%s\n%s\nand should say\n%s\n%s", line, got, want, a.out)
		}
	}
	list, err := filepath.Glob("*")
	if err != nil || slices.ContainsFunc(list, func(name string) bool { return strings.Contains(name, "plots") }) {
		t.Errorf("files %q, %v", list, err)
	}
}
