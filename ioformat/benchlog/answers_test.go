package benchlog

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"fitcoil/model/readings"
)

// dump is all that is read of a log, or why nothing is.
func dump(text string, opt Options) string {
	l, err := Read(strings.NewReader(text), "log.csv", opt)
	if err != nil {
		return err.Error()
	}
	var b strings.Builder
	for i, r := range l.Readings {
		fmt.Fprintf(&b, "%d: %.6g ± %.3g Hz", r.Line, r.Frequency, r.Uncertainty)
		if r.FromDigits {
			b.WriteString(" by digits")
		}
		b.WriteString(dumpState(r.State))
		if !math.IsNaN(r.Amplitude) {
			fmt.Fprintf(&b, ", amplitude %v", r.Amplitude)
		}
		if !math.IsNaN(r.Quality) {
			fmt.Fprintf(&b, ", Q %v", r.Quality)
		}
		if !r.Use {
			b.WriteString(", not used")
		}
		if r.Note != "" {
			fmt.Fprintf(&b, ", note %q", r.Note)
		}
		if l.Hours {
			fmt.Fprintf(&b, ", at %.4g h", l.Moments[i])
		}
		b.WriteString("\n")
	}
	b.WriteString(dumpParts(l.Parts))
	for _, n := range l.Notices {
		b.WriteString(n + "\n")
	}
	if len(l.Warnings) != len(l.Notices) {
		fmt.Fprintf(&b, "%d warnings\n", len(l.Warnings))
	}
	return strings.TrimSpace(b.String())
}

func dumpState(s readings.State) string {
	var b strings.Builder
	if len(s.Parts) > 0 {
		fmt.Fprintf(&b, ", parts %v", s.Parts)
	}
	if s.Clip {
		b.WriteString(", clip")
	}
	if s.Core != "" || s.To != 0 {
		fmt.Fprintf(&b, ", core %q %v..%v", s.Core, s.From, s.To)
	}
	if !math.IsInf(s.Hand, 1) {
		fmt.Fprintf(&b, ", hand %.4g m", s.Hand)
	}
	if s.Primary.Kind != readings.PrimaryOpen {
		fmt.Fprintf(&b, ", primary %v %v %v", s.Primary.Kind, s.Primary.Capacitance, s.Primary.Upper)
	}
	return b.String()
}

func dumpParts(parts []readings.Part) string {
	var b strings.Builder
	for _, p := range parts {
		fmt.Fprintf(&b, "part %q", p.Name)
		if p.Known {
			fmt.Fprintf(&b, " %.4g ± %.3g F", p.Capacitance, p.Uncertainty)
		}
		if p.Default {
			b.WriteString(" by default")
		}
		if p.Rectangular {
			b.WriteString(", rectangular")
		}
		if p.Lot != "" {
			fmt.Fprintf(&b, ", of lot %q, %.2g in common", p.Lot, p.Common)
		}
		b.WriteString("\n")
	}
	return b.String()
}

// What is read of a log, word for word: each number in SI (a standard uncertainty is a bound over 1.96,
// or half of a last digit over √3), each fault with its place and with what to do, each thing left out.
func TestLogsWordForWord(t *testing.T) {
	const h = "frequency [MHz],added [pF],core\n"
	for _, c := range []struct {
		name, text string
		opt        Options
		want       string
	}{
		{"all columns", "frequency [MHz],frequency ± [kHz],added [pF],added ± [%],core,covered [%],hand [cm],amplitude [V],quality factor,primary,drive,time [min],use,note\n2.5,1,10,5,rod,20..60,15,1.5,80,shorted,ring,30,no,cold\n1.5,,4.7+roof,1 common,,,,,,,,45,yes,\n", Options{}, `2: 2.5e+06 ± 1e+03 Hz, parts [0], core "rod" 0.2..0.6, hand 0.15 m, primary 1 0 false, amplitude 1.5, Q 80, not used, note "cold", at 0.5 h
3: 1.5e+06 ± 2.89e+04 Hz by digits, parts [1 2], at 0.75 h
part "10 pF" 1e-11 ± 2.55e-13 F, of lot "0.0255102 unsaid", 0.25 in common
part "4.7 pF" 4.7e-12 ± 2.4e-14 F, of lot "0.00510204 common", 1 in common
part "roof"`},
		{"units elsewhere", "f_kHz;C/nF;hand (m)\n2500,5;0,01;0,15\n2400;;\n", Options{}, `2: 2.5005e+06 ± 28.9 Hz by digits, parts [0], hand 0.15 m
3: 2.4e+06 ± 289 Hz by digits
part "0.01 nF" 1e-11 ± 2.55e-13 F by default, of lot "0.0255102 unsaid", 0.25 in common
log.csv: cells are separated by the semicolon, the decimal mark is the comma
log.csv:1: "C/nF" read as added
1 warnings`},
		{"units in cells", "f,added,hand\n2.5 MHz,10pF+4.7 pF,6 in\n900kHz,clip,\n", Options{}, `2: 2.5e+06 ± 2.89e+04 Hz by digits, parts [0 1], hand 0.1524 m
3: 900000 ± 289 Hz by digits, clip
part "10 pF" 1e-11 ± 2.55e-13 F by default, of lot "0.0255102 unsaid", 0.25 in common
part "4.7 pF" 4.7e-12 ± 1.2e-13 F by default, of lot "0.0255102 unsaid", 0.25 in common`},
		{"row of units", "f,added,added ±\nMHz,pF,%\n2.5,10,2\n", Options{}, `3: 2.5e+06 ± 2.89e+04 Hz by digits, parts [0]
part "10 pF" 1e-11 ± 1.02e-13 F, of lot "0.0102041 unsaid", 0.25 in common`},
		{"row of units contradicts", "f [kHz],added\nMHz,pF\n2.5,10\n", Options{}, `log.csv:1:1 (column A): read "MHz in the row of units", expected kHz as in the header; keep the one that holds`},
		{"decibels", "f [MHz],amplitude [dB]\n2.5,-20\n", Options{}, `log.csv:1:2 (column B): read "dB", expected an amplitude in a linear unit; convert decibels: 10^(dB/20)`},
		{"unit of a quality", "f [MHz],quality [kHz]\n2.5,80\n", Options{}, `log.csv:1:2 (column B): read "quality [kHz]", expected quality factor, which has no unit; is it the column that it is taken for? If so, leave the unit out`},
		{"wrong unit", "f [pF],added [pF]\n2.5,10\n", Options{}, `log.csv:1:1 (column A): read "pF", expected a unit of frequency (Hz, kHz, MHz or GHz); pF is the unit of a capacitance`},
		{"column twice", "f [MHz],frequency [kHz]\n2.5,10\n", Options{}, `log.csv:1:2 (column B): read "frequency [kHz]", expected each column once; column A holds the frequency already`},
		{"brackets open", "frequency [MHz,added [pF]\n2.5,10\n", Options{}, `log.csv:1:1 (column A): read "frequency [MHz", expected a name, and behind it the unit in brackets; open and close the brackets, as in "frequency [MHz]"`},
		{"misspelt", "freqency [MHz],added [pF]\n2.5,10\n", Options{}, `log.csv:1:1 (column A): read "freqency [MHz]", expected the name of a column; did you mean "frequency [MHz]"? If not, give the column a name less like it`},
		{"misspelt spread", "f [MHz],added tol ± [%]\n2.5,10\n", Options{}, `log.csv:1:2 (column B): read "added tol ± [%]", expected the name of a column; did you mean "added ± [%]"? If not, give the column a name less like it`},
		{"no brackets", "frequency MHz,added pF,core\n2.5,10,rod\n", Options{}, `2: 2.5e+06 ± 2.89e+04 Hz by digits, parts [0], core "rod" 0..1
part "10 pF" 1e-11 ± 2.55e-13 F by default, of lot "0.0255102 unsaid", 0.25 in common
log.csv:1: "frequency MHz" read as frequency
log.csv:1: "added pF" read as added`},
		{"no unit", "frequency,added,hand\n2.5,10,15\n", Options{}, `log.csv:1:1 (column A): read "frequency", expected a unit in the header or in each cell; line 2 has a number without a unit: write "frequency [MHz]", or whichever unit it is
log.csv:1:2 (column B): read "added", expected a unit in the header or in each cell; line 2 has a number without a unit: write "added [pF]", or whichever unit it is
log.csv:1:3 (column C): read "hand", expected a unit in the header or in each cell; line 2 has a number without a unit: write "hand [cm]", or whichever unit it is`},
		{"no unit of a spread", "f [MHz],frequency ±,added [pF],added ±\n2.5,1,10,5\n", Options{}, `log.csv:1:2 (column B): read "frequency ±", expected a unit in the header or in each cell; line 2 has a number without a unit: write "frequency ± [kHz]" or "frequency ± [%]"
log.csv:1:4 (column D): read "added ±", expected a unit in the header or in each cell; line 2 has a number without a unit: write "added ± [%]" or "added ± [pF]"`},
		{"no unit of covered", "f [MHz],core,covered\n2.5,rod,60\n", Options{}, `log.csv:1:3 (column C): read "covered", expected a unit in the header or in each cell; line 2 has a number without a unit: write "covered [%]"`},
		{"no frequency", "added [pF],core\n10,rod\n", Options{}, `log.csv:1: read "added [pF],core", expected a column of frequencies, such as frequency [MHz]; name it so`},
		{"no header", "2.5,10\n2.4,11\n", Options{}, `log.csv:1: read "2.5,10", expected a header above the readings; put a row on top, without #, that names the columns and their units, such as "frequency [MHz],added [pF],note"`},
		{"commented header", "# frequency [MHz],added [pF]\n2.5,10\n2.4,11\n", Options{}, `log.csv:2: read "2.5,10", expected a header above the readings; line 1 looks like it, but begins with # as comments do: take the # away, or name the first column, such as run`},
		{"title above", "My coil,\nfrequency [MHz],added [pF]\n2.5,10\n", Options{}, `log.csv:1: read "My coil,", expected the header, which stands further down; put # in front of each line above the header`},
		{"sep contradicts", "sep=;\nfrequency [MHz],added [pF]\n2.5,10\n", Options{}, `log.csv:2: read "frequency [MHz],added [pF]", expected cells separated by the semicolon, as the first line says; correct that line or delete it`},
		{"header again", h + "2.5,,\nfrequency [MHz],added [pF],core\n2.4,,\n", Options{}, `log.csv:3: this row is the header again; if two logs of one session were joined, delete it; two sessions belong in two files`},
		{"nothing below", h, Options{}, `log.csv: there is no reading below the header, expected one row for each reading`},
		{"empty frequency", h + ",10,\n", Options{}, `log.csv:2:1 (column A, "frequency [MHz]"): the cell is empty, expected a frequency in each row; write what was read, or delete the row`},
		{"dash for frequency", h + "-,10,\n", Options{}, `log.csv:2:1 (column A, "frequency [MHz]"): read "-", expected a frequency in each row; write what was read, or delete the row`},
		{"overload", h + "OL,10,\n", Options{}, `log.csv:2:1 (column A, "frequency [MHz]"): read "OL", expected a frequency in each row; write what was read, or delete the row`},
		{"zero", h + "0,10,\n", Options{}, `log.csv:2:1 (column A, "frequency [MHz]"): read "0", expected a frequency above 0; write what was read, or delete the row`},
		{"negative added", h + "2.5,-10,\n", Options{}, `log.csv:2:2 (column B, "added [pF]"): read "-10", expected a capacitance above 0; what is put on the top adds capacitance`},
		{"zero added", h + "2.5,0,\n2.4,clip,\n", Options{}, `2: 2.5e+06 ± 2.89e+04 Hz by digits, clip
3: 2.4e+06 ± 2.89e+04 Hz by digits, clip
log.csv:2: 0 is read as an empty clip on the top; leave the cell empty where there is nothing`},
		{"two plus", h + "2.5,10++4.7,\n", Options{}, `log.csv:2:2 (column B, "added [pF]"): read "10++4.7", expected values and names joined by +, such as 4.7+10; there is a + too many`},
		{"joined wrong", h + "2.5,10&4.7,\n", Options{}, `log.csv:2:2 (column B, "added [pF]"): read "10&4.7", expected a number in pF; parts are joined by +; a name begins with a letter`},
		{"joined wrong, with decimals", h + "2.5,4.7&10,\n2.4,4.7;10,\n2.3,4.7/10,\n2.2,4.7|10,\n2.1,4.7 10,\n2,4.7 100,\n1.9,4.7 & roof,\n1.8,4.7.1,\n1.7,4.7&1+3..,\n1.6,4.7+2.2x,\n1.5,2&roof+4.7.1,\n1.4,10+4.7 100,\n", Options{}, `log.csv:2:2 (column B, "added [pF]"): read "4.7&10", expected a number in pF; parts are joined by +; a name begins with a letter
log.csv:3:2 (column B, "added [pF]"): read "4.7;10", expected a number in pF; parts are joined by +; a name begins with a letter
log.csv:4:2 (column B, "added [pF]"): read "4.7/10", expected a number in pF; parts are joined by +; a name begins with a letter
log.csv:5:2 (column B, "added [pF]"): read "4.7|10", expected a number in pF; parts are joined by +; a name begins with a letter
log.csv:6:2 (column B, "added [pF]"): read "4.7 10", expected a number in pF; parts are joined by +; a name begins with a letter
log.csv:7:2 (column B, "added [pF]"): read "4.7 100", expected a number in pF; parts are joined by +; a name begins with a letter
log.csv:8:2 (column B, "added [pF]"): read "4.7 & roof", expected a number in pF; parts are joined by +; a name begins with a letter
log.csv:9:2 (column B, "added [pF]"): read "4.7.1", expected a number in pF; there are two decimal marks, as in a date
log.csv:10:2 (column B, "added [pF]"): read "4.7&1", expected a number in pF; parts are joined by +; a name begins with a letter
log.csv:11:2 (column B, "added [pF]"): read "2.2x", expected a number in pF; parts are joined by +; a name begins with a letter
log.csv:12:2 (column B, "added [pF]"): read "2&roof", expected a number in pF; parts are joined by +; a name begins with a letter
log.csv:13:2 (column B, "added [pF]"): read "4.7 100", expected a number in pF; parts are joined by +; a name begins with a letter`},
		{"twice the same", h + "2.5,10+10,\n2.4,roof+roof,\n", Options{}, `log.csv:3:2 (column B, "added [pF]"): read "roof+roof", expected each named part once; if there are two, give them two names`},
		{"number missing", h + "2.5,pF,\n", Options{}, `log.csv:2:2 (column B, "added [pF]"): read "pF", expected a capacitance or the name of a part; the number is missing`},
		{"name with value", h + "2.5,roof 2pF,\n", Options{}, `log.csv:2:2 (column B, "added [pF]"): read "roof 2pF", expected a capacitance or the name of a part; write the value alone, 2pF, or a name without a value`},
		{"name with a sign", h + "2.5,ro:of,\n", Options{}, `log.csv:2:2 (column B, "added [pF]"): read "ro:of", expected a capacitance or the name of a part; a name holds letters, digits and spaces, no ":"; the value of a named part stands in the coil sheet`},
		{"too long", h + "2.5," + strings.Repeat("x", 81) + ",\n", Options{}, `log.csv:2:2 (column B, "added [pF]"): read "xxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxx…", expected a name of at most 80 characters; text belongs into the note`},
		{"too many", h + "2.5," + strings.Repeat("1+", 30) + "1,\n", Options{}, `log.csv:2:2 (column B, "added [pF]"): read "1+1+1+1+1+1+1+1+1+1+1+1+1+1+1+1+1+1+1+1+…", expected no more than 30 parts at a time; write the sum of what stays together as one part`},
		{"marker for a part", h + "2.5,n/a,\n", Options{}, `log.csv:2:2 (column B, "added [pF]"): read "n/a", expected a capacitance or the name of a part; write - when nothing was added`},
		{"tolerance beside", "f [MHz],added [pF],added ± [%]\n2.5,10,100\n2.4,10,-1\n", Options{}, `log.csv:2:3 (column C, "added ± [%]"): read "100", expected a tolerance below 100 %; check the unit
log.csv:3:3 (column C, "added ± [%]"): read "-1", expected a tolerance of 0 or more; write it without a sign`},
		{"tolerance of a sum", "f [MHz],added [pF],added ± [pF]\n2.5,10+4.7,0.1\n", Options{}, `log.csv:2:3 (column C, "added ± [pF]"): read "0.1", expected a tolerance in % for a sum; a percentage holds for each of the parts; of an absolute ± nobody knows to which it belongs`},
		{"tolerance changes", "f [MHz],added [pF],added ± [%]\n2.5,10,5\n2.4,10,2\n", Options{}, `log.csv:3:3 (column C, "added ± [%]"): read "2 %", expected the tolerance of 10 pF stated before (5 %, line 2); one part has one tolerance; if these are two parts, give one of them a name, and the name a value in the coil sheet`},
		{"tolerance in cells", h + "2.5,10±2%,\n2.4,10±0.2 pF,\n2.3,4.7±200%,\n", Options{}, `log.csv:4:2 (column B, "added [pF]"): read "4.7±200%", expected a tolerance below 100 %; check its unit`},
		{"words behind tolerances", "f [MHz],added [pF],added ± [%]\n2.5,10,5 own\n2.4,4.7,5 common\n2.3,22,5 rectangular\n2.2,33,5 own rectangular\n2.1,47,5\n", Options{}, `2: 2.5e+06 ± 2.89e+04 Hz by digits, parts [0]
3: 2.4e+06 ± 2.89e+04 Hz by digits, parts [1]
4: 2.3e+06 ± 2.89e+04 Hz by digits, parts [2]
5: 2.2e+06 ± 2.89e+04 Hz by digits, parts [3]
6: 2.1e+06 ± 2.89e+04 Hz by digits, parts [4]
part "10 pF" 1e-11 ± 2.55e-13 F
part "4.7 pF" 4.7e-12 ± 1.2e-13 F, of lot "0.0255102 common", 1 in common
part "22 pF" 2.2e-11 ± 6.35e-13 F, rectangular, of lot "0.0288675 unsaid", 0.25 in common
part "33 pF" 3.3e-11 ± 9.53e-13 F, rectangular
part "47 pF" 4.7e-11 ± 1.2e-12 F, of lot "0.0255102 unsaid", 0.25 in common`},
		{"words contradict", "f [MHz],added [pF],added ± [%]\n2.5,10,5 own\n2.4,10,5 common\n", Options{}, `log.csv:3:3 (column C, "added ± [%]"): read "common", expected own, as said before of 10 pF; one part has one word`},
		{"tolerance of a name", "f [MHz],added [pF],added ± [%]\n2.5,roof,5\n", Options{}, `2: 2.5e+06 ± 2.89e+04 Hz by digits, parts [0]
part "roof"
log.csv:2: the ± beside "roof" is not used: it has no value`},
		{"known parts", "f [MHz],added [pF],added ± [%]\n2.5,roof,5\n2.4,10,2\n2.3,10+10,\n", Options{}, `2: 2.5e+06 ± 2.89e+04 Hz by digits, parts [0]
3: 2.4e+06 ± 2.89e+04 Hz by digits, parts [1]
4: 2.3e+06 ± 2.89e+04 Hz by digits, parts [1 2]
part "roof"
part "10 pF" 1e-11 ± 1.02e-13 F, of lot "0.0102041 unsaid", 0.25 in common
part "10 pF (2)" 1e-11 ± 2.55e-13 F by default, of lot "0.0255102 unsaid", 0.25 in common
log.csv:2: the ± beside "roof" is not used: it has no value`},
		{"cores", h + "2.5,,Rod\n2.4,,rod\n2.3,,air\n2.2,,no\n2.1,,R OD\n", Options{}, `2: 2.5e+06 ± 2.89e+04 Hz by digits, core "Rod" 0..1
3: 2.4e+06 ± 2.89e+04 Hz by digits, core "Rod" 0..1
4: 2.3e+06 ± 2.89e+04 Hz by digits
5: 2.2e+06 ± 2.89e+04 Hz by digits
6: 2.1e+06 ± 2.89e+04 Hz by digits, core "Rod" 0..1`},
		{"core slip", h + "2.5,,ferrite\n2.4,,ferrite\n2.3,,ferrit\n", Options{}, `2: 2.5e+06 ± 2.89e+04 Hz by digits, core "ferrite" 0..1
3: 2.4e+06 ± 2.89e+04 Hz by digits, core "ferrite" 0..1
4: 2.3e+06 ± 2.89e+04 Hz by digits, core "ferrit" 0..1
log.csv:4: the core "ferrit" occurs only here and is taken as another one than "ferrite": a slip of the pen?`},
		{"core a number", h + "2.5,,4.7\n", Options{}, `log.csv:2:3 (column C, "core"): read "4.7", expected the name of a core; this is a number: has a cell slipped into another column? A name has a letter, as rod or #2`},
		{"core a sign", h + "2.5,,?!\n", Options{}, `log.csv:2:3 (column C, "core"): read "?!", expected the name of a core; a name begins with a letter, a digit or #`},
		{"core true", h + "2.5,,true\n", Options{}, `log.csv:2:3 (column C, "core"): read "true", expected the name of a core; write which core is in, and nothing where none is`},
		{"core marker", h + "2.5,,n/a\n", Options{}, `log.csv:2:3 (column C, "core"): read "n/a", expected the name of a core; leave the cell empty when there is none`},
		{"marks", "f [MHz],rod\n2.5,x\n2.4,\n2.3,yes\n", Options{}, `2: 2.5e+06 ± 2.89e+04 Hz by digits, core "rod" 0..1
3: 2.4e+06 ± 2.89e+04 Hz by digits
4: 2.3e+06 ± 2.89e+04 Hz by digits, core "rod" 0..1
log.csv:1: "rod" read as core`},
		{"marks and names", h + "2.5,,x\n2.4,,rod\n", Options{}, `log.csv:3:3 (column C, "core"): read "rod", expected the name of a core in each row that has one, or a mark such as x in each; write the name`},
		{"covered without core", "f [MHz],core,covered [%]\n2.5,,60\n", Options{}, `log.csv:2:3 (column C, "covered [%]"): read "60", expected nothing, since no core is named; name the core, or leave out what it covers`},
		{"covered nothing", "f [MHz],core,covered [%]\n2.5,rod,0\n2.4,rod,60\n", Options{}, `2: 2.5e+06 ± 2.89e+04 Hz by digits
3: 2.4e+06 ± 2.89e+04 Hz by digits, core "rod" 0..0.6
log.csv:2: the core "rod" covers 0 %: read as no core`},
		{"covered fractions", "f [MHz],core,covered [%]\n2.5,rod,0.6\n2.4,rod,0.3\n", Options{}, `log.csv:2:3 (column C, "covered [%]"): read "0.6", expected a percentage, and no row covers more than 1 %; a fraction of 0.6 is written 60, the whole winding 100; if a per cent is meant, write it with its sign, as in 1 %`},
		{"covered one", "f [MHz],core,covered [%]\n2.5,rod,1\n2.4,rod,60\n", Options{}, `2: 2.5e+06 ± 2.89e+04 Hz by digits, core "rod" 0..0.01
3: 2.4e+06 ± 2.89e+04 Hz by digits, core "rod" 0..0.6
log.csv:2: the core covers "1", read as 1 % of the winding: was all of it meant?`},
		{"covered too much", "f [MHz],core,covered [%]\n2.5,rod,120\n2.4,rod,60..20\n", Options{}, `log.csv:2:3 (column C, "covered [%]"): read "120", expected 0 to 100 %; a core covers at most the whole winding
log.csv:3:3 (column C, "covered [%]"): read "60..20", expected a stretch such as 20..60; count from the grounded end, the smaller number first`},
		{"hand zero", "f [MHz],hand [cm]\n2.5,0\n2.4,n/a\n2.3,none\n", Options{}, `log.csv:2:2 (column B, "hand [cm]"): read "0", expected a distance above 0; nobody touches the coil for a reading; give no distance when nobody is near
log.csv:3:2 (column B, "hand [cm]"): read "n/a", expected a distance; leave the cell empty when nobody is near`},
		{"primary", "f [MHz],primary\n2.5,shortd\n2.4,tuned\n2.3,tuned 4.7 nF\n2.2,tuned 0 nF\n", Options{}, `log.csv:2:2 (column B, "primary"): read "shortd", expected open, shorted, or tuned and a capacitance, such as tuned 4.7 nF; did you mean shorted?
log.csv:3:2 (column B, "primary"): read "tuned", expected open, shorted, or tuned and a capacitance, such as tuned 4.7 nF; leave the cell empty where there is no primary
log.csv:4:2 (column B, "primary"): read "tuned 4.7 nF", expected both peaks of the split pair; write the other one into the column "second frequency [MHz]"
log.csv:5:2 (column B, "primary"): read "tuned 0 nF", expected a capacitance above 0 across the primary`},
		{"tuned", "f [MHz],primary,second frequency [MHz]\n2.5,tuned 4.7 nF,2.3\n2.4,,2.2\n2.3,tuned 4.7 nF,2.3\n", Options{}, `log.csv:3:3 (column C, "second frequency [MHz]"): read "2.2", expected nothing, since the primary isn't tuned; only a tuned primary splits a resonance in two: write primary tuned and its capacitance, or leave the cell empty
log.csv:4:3 (column C, "second frequency [MHz]"): read "2.3", expected another frequency above 0 than the first; write the other peak`},
		{"tuned well", "f [MHz],primary,second frequency [MHz],Q\n2.5,tuned 4.7 nF,2.30,80\n2.4,open,,\n", Options{}, `2: 2.3e+06 ± 2.89e+03 Hz by digits, primary 2 4.7e-09 false
2: 2.5e+06 ± 2.89e+04 Hz by digits, primary 2 4.7e-09 true, Q 80
3: 2.4e+06 ± 2.89e+04 Hz by digits`},
		{"drive", "f [MHz],frequency ± [kHz],drive,Q\n2.5,1,self,\n2.4,1,self,100\n2.3,1,self,\n2.2,1,genrator,\n", Options{}, `log.csv:5:3 (column C, "drive"): read "genrator", expected ring, self or generator; did you mean generator?`},
		{"drive well", "f [MHz],frequency ± [kHz],drive,Q\n2.5,1,self,\n2.4,1,self,100\n2.3,1,Self,\n2.2,1,generator,\n2.1,1,self,\n", Options{}, `2: 2.5e+06 ± 6.25e+04 Hz
3: 2.4e+06 ± 1.2e+04 Hz, Q 100
4: 2.3e+06 ± 1.15e+04 Hz
5: 2.2e+06 ± 1e+03 Hz
6: 2.1e+06 ± 1.05e+04 Hz
log.csv:2: a self-oscillating driver runs within about f/2Q of the resonance: ± 62 kHz more, with a quality factor of 20.0 (assumed: write the quality factor beside it)
log.csv:3: a self-oscillating driver runs within about f/2Q of the resonance: ± 12 kHz more, with a quality factor of 100 (read on line 3); such rows in all: 3`},
		{"use", "f [MHz],use\n2.5,x\n2.4,perhaps\n2.3,0\n2.2,TRUE\n", Options{}, `log.csv:2:2 (column B, "use"): read "x", expected yes or no; an x could mean ticked or crossed out
log.csv:3:2 (column B, "use"): read "perhaps", expected yes or no`},
		{"amplitudes", "f [MHz],amplitude\n2.5,1.5\n2.4,2 mV\n2.3,-1\n", Options{}, `log.csv:3:2 (column B, "amplitude"): read "2 mV", expected all amplitudes with a unit, or all without; only amplitudes in one unit can be compared
log.csv:4:2 (column B, "amplitude"): read "-1", expected an amplitude of 0 or more; decibels have to be converted: 10^(dB/20)`},
		{"quality", "f [MHz],Q\n2.5,-80\n2.4,x\n", Options{}, `log.csv:2:2 (column B, "Q"): read "-80", expected a quality factor above 0; leave the cell empty when there was none
log.csv:3:2 (column B, "Q"): read "x", expected a number`},
		{"spreads", "f [MHz],frequency ± [kHz]\n2.5,0\n2.4,3000\n2.3,-\n2.2,x\n", Options{}, `log.csv:2:2 (column B, "frequency ± [kHz]"): read "0", expected a standard uncertainty above 0; leave the cell empty to have it taken from the digits of the frequency
log.csv:3:2 (column B, "frequency ± [kHz]"): read "3000", expected an uncertainty below the frequency itself; check the unit
log.csv:5:2 (column B, "frequency ± [kHz]"): read "x", expected a number in kHz`},
		{"spread in percent", "f [MHz],frequency ± [%]\n2.5,1\n2.4,\n", Options{}, `2: 2.5e+06 ± 2.5e+04 Hz
3: 2.4e+06 ± 2.89e+04 Hz by digits`},
		{"times", "f [MHz],time\n2.5,23:50\n2.4,00:10\n2.3,12\n", Options{}, `log.csv:4:2 (column B, "time"): read "12", expected the time written as in the rows above; write all in one way`},
		{"times by number", "f [MHz],time [h]\n2.5,1\n2.4,1.5\n2.3,\n", Options{}, `log.csv:4:2 (column B, "time [h]"): the cell is empty, expected a time in each row, or in none; write when it was read, or leave the column out`},
		{"times by date", "f [MHz],time\n2.5,2026-01-31T14:05\n2.4,2026-02-01 14:05:30\n", Options{}, `2: 2.5e+06 ± 2.89e+04 Hz by digits, at 4.916e+05 h
3: 2.4e+06 ± 2.89e+04 Hz by digits, at 4.917e+05 h`},
		{"times in weeks", "f [MHz],time [weeks]\n2.5,1\n", Options{}, `log.csv:2:2 (column B, "time [weeks]"): read "1", expected hh:mm, a number of minutes, or a date and time as 2026-01-31T14:05; write time [min], [h] or [s] as its header`},
		{"times at noon", "f [MHz],time\n2.5,noon\n", Options{}, `log.csv:2:2 (column B, "time"): read "noon", expected hh:mm, a number of minutes, or a date and time as 2026-01-31T14:05; call the column something else if it holds anything else`},
		{"strangers", "f [MHz],C [pF],dist [cm],tilt,remarks: x,colour\n2.5,10,20,,a,red\n2.4,11,21,,b,blue\n", Options{}, `2: 2.5e+06 ± 2.89e+04 Hz by digits, parts [0], hand 0.2 m, note "a"
3: 2.4e+06 ± 2.89e+04 Hz by digits, parts [1], hand 0.21 m, note "b"
part "10 pF" 1e-11 ± 2.55e-13 F by default, of lot "0.0255102 unsaid", 0.25 in common
part "11 pF" 1.1e-11 ± 2.81e-13 F by default, of lot "0.0255102 unsaid", 0.25 in common
log.csv:1: "C [pF]" read as added
log.csv:1: "dist [cm]" read as hand
log.csv:1: "remarks: x" read as note
log.csv:1: not used: columns "tilt", "colour"`},
		{"a stranger of numbers", "f [MHz],foo\n2.5,10\n2.4,17\n2.3,5\n", Options{}, `log.csv:1:2 (column B): read "foo", expected a header that tells what these numbers are, and their unit; use this header: f [MHz],note: foo`},
		{"a stranger of capacitances", "f [MHz],added [pF],stray [pF]\n2.5,10,1\n2.4,11,2\n", Options{}, `log.csv:1:3 (column C): read "stray [pF]", expected a header that tells what a capacitance it is, beside the columns there are; use this header: f [MHz],added [pF],note: stray [pF]`},
		{"a stranger of lengths", "f [MHz],foo [cm]\n2.5,10\n2.4,17\n", Options{}, `log.csv:1:2 (column B): read "foo [cm]", expected a header that tells what it is: the distance of a hand, or where the core is (a share of the winding, covered [%]); use this header: f [MHz],hand [cm]`},
		{"a stranger of percents", "f [MHz],foo [%]\n2.5,10\n2.4,17\n", Options{}, `log.csv:1:2 (column B): read "foo [%]", expected a header that tells what a percentage it is, beside the columns there are; use this header: f [MHz],note: foo [%]`},
		{"a stranger of marks", "f [MHz],foo\n2.5,x\n2.4,\n2.3,x\n", Options{}, `log.csv:1:2 (column B): read "foo", expected a header that tells what is marked: the name of a core, for one; use this header: f [MHz],core`},
		{"two strangers alike", "f [MHz],C1 [pF],C2 [pF]\n2.5,10,1\n2.4,11,2\n", Options{}, `log.csv:1:2 (column B): read "C1 [pF]", expected a header that tells what it is: there are several columns of capacitances; write sums in one, as 4.7+10; use this header: f [MHz],added [pF],note: C2 [pF]
log.csv:1:3 (column C): read "C2 [pF]", expected a header that tells what it is: there are several columns of capacitances; write sums in one, as 4.7+10`},
		{"text turns to data", "f [MHz],foo\n" + strings.Repeat("2.5,\n", 201) + strings.Repeat("2.4,4.7 pF\n", 3), Options{}, `log.csv:1:2 (column B): read "foo", expected a header that tells what its values are; use this header: f [MHz],added [pF]`},
		{"commented reading", "note,f [MHz]\nx,2.5\n#1,2.4\n", Options{}, `log.csv:3:1 (column A, "note"): read "#1", expected a reading that doesn't begin with #, as comments do; put the cell in quotes ("#1") or another column first; to leave a reading out, keep it and write no in a column use`},
		{"commented rows", h + "2.5,,\n# 2.4,1,2\n# 2.4,1,2\n# 2.4,1,2\n# 2.4,1,2\n# 2.4,1,2\n# by hand\n", Options{}, `2: 2.5e+06 ± 2.89e+04 Hz by digits
log.csv:3: the line begins with # and is left out as a comment, though it has as many cells as the header: "# 2.4,1,2"
log.csv:4: the line begins with # and is left out as a comment, though it has as many cells as the header: "# 2.4,1,2"
log.csv:5: the line begins with # and is left out as a comment, though it has as many cells as the header: "# 2.4,1,2"
log.csv:7: here ends a list of 2 more such lines, left out too`},
		{"spreadsheet error", h + "2.5,,\n#N/A,10,rod\n", Options{}, `log.csv:3:1 (column A, "frequency [MHz]"): read "#N/A", expected a frequency in each row; write what was read, or delete the row`},
		{"slip of a unit", h + "2.5,10,\n2.4,11,\n2.3,12,\n2300,13,\n2.2,12000,\n", Options{}, `2: 2.5e+06 ± 2.89e+04 Hz by digits, parts [0]
3: 2.4e+06 ± 2.89e+04 Hz by digits, parts [1]
4: 2.3e+06 ± 2.89e+04 Hz by digits, parts [2]
5: 2.3e+09 ± 2.89e+05 Hz by digits, parts [3]
6: 2.2e+06 ± 2.89e+04 Hz by digits, parts [4]
part "10 pF" 1e-11 ± 2.55e-13 F by default, of lot "0.0255102 unsaid", 0.25 in common
part "11 pF" 1.1e-11 ± 2.81e-13 F by default, of lot "0.0255102 unsaid", 0.25 in common
part "12 pF" 1.2e-11 ± 3.06e-13 F by default, of lot "0.0255102 unsaid", 0.25 in common
part "13 pF" 1.3e-11 ± 3.32e-13 F by default, of lot "0.0255102 unsaid", 0.25 in common
part "12000 pF" 1.2e-08 ± 3.06e-10 F by default, of lot "0.0255102 unsaid", 0.25 in common
log.csv:5: the frequency of 2.300 GHz lies about 1000 times above the others: is the unit right?
log.csv:5: the frequency has fewer digits than most, and counts for less; if a zero at the end was left out, write it, or give the uncertainty in the column "frequency ±"
log.csv:6: the added capacitance of 12.00 nF lies about 1000 times above the others: is the unit right?`},
		{"far off", "f [MHz],hand [cm]\n2500,500\n2400,\n", Options{}, `2: 2.5e+09 ± 2.89e+05 Hz by digits, hand 5 m
3: 2.4e+09 ± 2.89e+05 Hz by digits
log.csv:2: a frequency of 2.500 GHz is far outside of what is seen on a bench (such rows in all: 2): is the unit right?
log.csv:2: a distance of the hand of 5.000 m is far outside of what is seen on a bench: is the unit right?`},
		{"fewer digits", "f [MHz]\n2.501\n2.502\n2.503\n2.504\n2.5\n2.506\n", Options{}, `2: 2.501e+06 ± 289 Hz by digits
3: 2.502e+06 ± 289 Hz by digits
4: 2.503e+06 ± 289 Hz by digits
5: 2.504e+06 ± 289 Hz by digits
6: 2.5e+06 ± 2.89e+04 Hz by digits
7: 2.506e+06 ± 289 Hz by digits
log.csv:6: the frequency has fewer digits than most, and counts for less; if a zero at the end was left out, write it, or give the uncertainty in the column "frequency ±"`},
		{"copies", h + "2.501,10,\n2.502,11,\n2.501,10,\n2.502,11,\n", Options{}, `2: 2.501e+06 ± 289 Hz by digits, parts [0]
3: 2.502e+06 ± 289 Hz by digits, parts [1]
4: 2.501e+06 ± 289 Hz by digits, parts [0]
5: 2.502e+06 ± 289 Hz by digits, parts [1]
part "10 pF" 1e-11 ± 2.55e-13 F by default, of lot "0.0255102 unsaid", 0.25 in common
part "11 pF" 1.1e-11 ± 2.81e-13 F by default, of lot "0.0255102 unsaid", 0.25 in common
log.csv:4: the row is the same as line 2 in every cell (such rows in all: 2); each counts as a reading of its own`},
		{"decimal commas", "f [MHz],added [pF],note\n1,523,4.7\n1,613,3.3\n1,7,2\n", Options{}, `log.csv:2:1 (column A, "f [MHz]"): read "whole MHz in all rows", expected frequencies with a decimal point; if the comma is the decimal mark, use ; between cells; if the frequencies are whole, write them as in 1.0`},
		{"some decimal commas", "f [MHz],added [pF],note\n1.613,4.7,\n1.523,3.3,\n1,523,\n1.4,2,\n1.45,,\n", Options{}, `2: 1.613e+06 ± 289 Hz by digits, parts [0]
3: 1.523e+06 ± 289 Hz by digits, parts [1]
4: 1e+06 ± 2.89e+05 Hz by digits, parts [2]
5: 1.4e+06 ± 2.89e+04 Hz by digits, parts [3]
6: 1.45e+06 ± 2.89e+03 Hz by digits
part "4.7 pF" 4.7e-12 ± 1.2e-13 F by default, of lot "0.0255102 unsaid", 0.25 in common
part "3.3 pF" 3.3e-12 ± 8.42e-14 F by default, of lot "0.0255102 unsaid", 0.25 in common
part "523 pF" 5.23e-10 ± 1.33e-11 F by default, of lot "0.0255102 unsaid", 0.25 in common
part "2 pF" 2e-12 ± 5.1e-14 F by default, of lot "0.0255102 unsaid", 0.25 in common`},
		{"mixed marks", "f [MHz];added [pF]\n1,523;4,7\n1.613;3,3\n", Options{}, `log.csv:3:1 (column A, "f [MHz]"): read "1.613", expected the same decimal mark as in line 2 ("1,523"); use one mark in the whole file`},
		{"similar parts", h + "2.5,lantern,\n2.4,lantern,\n2.3,lantrn,\n2.2,c1,\n2.1,c2,\n", Options{}, `2: 2.5e+06 ± 2.89e+04 Hz by digits, parts [0]
3: 2.4e+06 ± 2.89e+04 Hz by digits, parts [0]
4: 2.3e+06 ± 2.89e+04 Hz by digits, parts [1]
5: 2.2e+06 ± 2.89e+04 Hz by digits, parts [2]
6: 2.1e+06 ± 2.89e+04 Hz by digits, parts [3]
part "lantern"
part "lantrn"
part "c1"
part "c2"
log.csv:4: the part "lantrn" occurs only here and is taken as another one than "lantern": a slip of the pen?`},
		{"long name", h + "2.5,," + strings.Repeat("x", 81) + "\n", Options{}, `log.csv:2:3 (column C, "core"): read "xxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxx…", expected a name of at most 80 characters; text belongs into the note`},
		{"exact", h + "2.5,10,\n", Options{Exact: true}, `2: 2.5e+06 ± 2.89e+04 Hz by digits, parts [0]
part "10 pF" 1e-11 ± 0 F`},
		{"tolerance given", h + "2.5,10,\n", Options{Tolerance: 0.01}, `2: 2.5e+06 ± 2.89e+04 Hz by digits, parts [0]
part "10 pF" 1e-11 ± 5.1e-14 F, of lot "0.00510204 unsaid", 0.25 in common`},
		{"tolerance given as a rectangle", h + "2.5,10,\n", Options{Tolerance: 0.01, Share: Rectangular | Own}, `2: 2.5e+06 ± 2.89e+04 Hz by digits, parts [0]
part "10 pF" 1e-11 ± 5.77e-14 F, rectangular`},
		{"parts given", h + "2.5,10+10,\n2.4,roof,\n", Options{Parts: map[string]PartValue{"10pF": {Capacitance: 10.2e-12, Uncertainty: 1e-14}, "Roof": {Capacitance: 2e-12, Uncertainty: 1e-13, Share: Common}}}, `2: 2.5e+06 ± 2.89e+04 Hz by digits, parts [0 1]
3: 2.4e+06 ± 2.89e+04 Hz by digits, parts [2]
part "10 pF" 1.02e-11 ± 1e-14 F, of lot "0.000980392 unsaid", 0.25 in common
part "10 pF (2)" 1e-11 ± 2.55e-13 F by default, of lot "0.0255102 unsaid", 0.25 in common
part "roof" 2e-12 ± 1e-13 F, of lot "0.05 common", 1 in common`},
	} {
		if got := dump(c.text, c.opt); got != c.want {
			t.Errorf("%s: %s\nwant %s", c.name, got, c.want)
		}
	}
}
