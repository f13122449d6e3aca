package benchlog

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/model/readings"
)

// What a new row becomes in logs of several ways, and where it is refused.
func TestRowsInManyWays(t *testing.T) {
	r := func(change func(*Row), state ...string) Row {
		row := Row{Frequency: 2.5e6, Uncertainty: 1234, Amplitude: math.NaN(), Quality: math.NaN(), State: state}
		if change != nil {
			change(&row)
		}
		return row
	}
	volts := func(row *Row) { row.Amplitude, row.AmplitudeUnit = 0.5, "V" }
	for _, c := range []struct {
		log  string
		row  Row
		want string // the last line, or a part of what it is refused with
	}{
		{"f,amplitude\nMHz,mV\n2.4,100\n", r(volts), "2.50,500.0"},
		{"f [MHz],amplitude\n2.4,\n", r(volts), "2.50,0.5000"},
		{"f [MHz],amplitude\n2.4,3 V\n", r(func(row *Row) { row.Amplitude = 2 }), "the new row would spoil the log"},
		{"f [MHz],amplitude [div]\n2.4,3\n", r(func(row *Row) { row.Amplitude, row.AmplitudeUnit = 2, "div" }), "2.50,2.000"},
		{"f [MHz];added [pF];note\n2,4;;\n", r(nil, "added=4.7pF±0.25pF"), "2,50;4,7±0,25;"},
		{"f [MHz];added;note\n2,4;;\n", r(nil, "added=4.7pF±2%"), "2,50;4,7 pF±2%;"},
		{"f [MHz];added [pF];note\n2,4;;\n", r(nil, "added=4.7pF±2.5%"), "2,50;4,7±2,5%;"},
		{"f [MHz];core;note\n2,4;;\n", r(nil, "core=rod 1,5"), `2,50;rod 1,5;`},
		{"f [MHz];core;note\n2.4;;\n", r(nil, "note=1,5 m off", "core=rod"), "2.50;rod;1,5 m off"},
		{"f [MHz],hand [cm]\n2.4,\n", r(nil, "hand=1,5cm"), "a point as decimal mark"},
		{"f [MHz],hand [cm]\n2.4,\n", r(nil, "hand=0cm"), "a distance above 0"},
		{"f [MHz],hand [cm]\n2.4,\n", r(nil, "hand=nothing"), "2.50,"},
		{"f [MHz],core,covered [%]\n2.4,,\n", r(nil, "core=rod", "covered=60%"), "2.50,rod,60"},
		{"f [MHz],core,covered\n2.4,,\n", r(nil, "core=rod", "covered=0.5..60%"), "2.50,rod,0.5..60 %"},
		{"f [MHz],added [pF]\n2.4,\n", r(nil, "added=clip"), "2.50,clip"},
		{"f [MHz],added [pF]\n2.4,\n", r(nil, "added=0"), "2.50,clip"},
		{"f [MHz],frequency ± [kHz]\n2.4,1\n", r(func(row *Row) { row.Unclaimed = true }), "2.50,"},
		{"f [MHz],frequency ± [kHz]\n2.4,1\n", r(nil), "2.50000,1.23"},
		{"f [MHz],frequency ± [%]\n2.4,1\n", r(nil), "2.50000,0.0494"},
		{"f [MHz],frequency ± [kHz],q\n2.4,1,\n", r(func(row *Row) { row.Quality, row.LastDigit = 81.26, 1e3 }), "2.500,1.23,81.3"},
		{"f [MHz],note\n2.4,\n", r(func(row *Row) { row.Uncertainty = 249999 }), "2,"},
		{"f [MHz],note\n2.4,\n", r(func(row *Row) { row.Uncertainty = 250000 }), "known to better than 10 %"},
		{"f [MHz],note\n2.4,\n", r(func(row *Row) { row.Cautions = []string{"hum; move", "clipped"} }, "note=dry"), "2.50,dry; hum; clipped"},
		{"f [MHz],time,drive,primary\n2.4,10:00,,\n", r(nil, "time=11:30", "drive=generator", "primary=shorted"), "2.50,11:30,generator,shorted"},
		{"", r(nil, "TIME=30", "primary=shorted", "drive=self"), "2.50000,1.23,,,,,,,shorted,self,30,,"},
		{"f [MHz],note\n2.4,\n", r(nil, "time=30"), `no column for "time"`},
		{"f [MHz],time\n2.4,10:00\n", r(nil, "time=30"), "the new row would spoil the log"},
		{"f [MHz],primary\n2.4,\n", r(nil, "primary=tuned 4.7 nF"), "both peaks of the split pair"},
	} {
		longer, _, err := Append([]byte(c.log), "log.csv", c.row)
		lines := strings.Split(strings.TrimRight(string(longer), "\n"), "\n")
		if err != nil && !strings.Contains(err.Error(), c.want) || err == nil && lines[len(lines)-1] != c.want {
			t.Errorf("%q, %q: %q, %v, want %q", c.log, c.row.State, lines[len(lines)-1], err, c.want)
		}
	}
	if got, err := Remark([]byte("f [MHz]\n2.5\n"), "log.csv", "moved\n2.6"); err == nil || !strings.Contains(err.Error(), "would be read as a reading") {
		t.Errorf("%q, %v", got, err)
	}
	for _, c := range []struct {
		log  string
		line int
		want string
	}{
		{"f [MHz],use\n2.5,\n2.4,\n \n\n", 3, "f [MHz],use\n2.5,\n"},
		{"f [MHz],use\r2.5,\r2.4,\r", 2, "f [MHz],use\r2.5,no\r2.4,\r"},
		{"f [MHz],use\n\n2.5,\n\n2.4,", 3, "f [MHz],use\n\n2.5,no\n\n2.4,"},
		{"f [MHz],use\n2.5,\n2.4,\n", 4, "log.csv has no line 4"},
		{"f [MHz],use\n2.5,\n2.4,\n", 0, "log.csv has no line 0"},
	} {
		got, _, err := TakeBack([]byte(c.log), "log.csv", c.line)
		if err != nil {
			got = []byte(err.Error())
		}
		if string(got) != c.want {
			t.Errorf("%q without line %d: %q, want %q", c.log, c.line, got, c.want)
		}
	}
}

// What an earlier session says of parts and cores: its values where the log has none, the log's and the options' own
// where they have.
func TestAdoptedByValue(t *testing.T) {
	value := func(name string, pF float64) readings.Part {
		return readings.Part{Name: name, Capacitance: pF * 1e-12, Uncertainty: 1e-14, Known: true}
	}
	for _, c := range []struct{ rows, name, want string }{
		{"2.5,\n", "4.7 pF", "4.7 pF: 5 ± 0.01"},                   // what the log doesn't have is as it was
		{"2.5,4.7\n", "0.0047 nF", "4.7 pF: 4.7 ± 0.12"},           // what it has of a value stays
		{"2.5,4.7\n", "4.8 pF", "4.8 pF: 5 ± 0.01"},                // another value is another part
		{"2.5,4.7\n", "4.70000000001 pF", "4.7 pF: 4.7 ± 0.12"},    // but for rounding
		{"2.5,4.7\n", "4.7 pF (2)", "4.7 pF (2): 5 ± 0.01"},        // and so is a second one
		{"2.5,4.7+4.7\n", "4700 fF (2)", "4.7 pF (2): 4.7 ± 0.12"}, //
		{"2.5,Roof\n", "roof", "Roof: 5 ± 0.01"},                   // a part without a value takes the one it had
		{"2.5,roof top\n", "Roof Top", "roof top: 5 ± 0.01"},       //
		{"2.5,\n", "spike", "spike: 1 ± 0.1"},                      // the options know better
		{"2.5,spike\n", "spike", "spike: 1 ± 0.1"},                 //
	} {
		l := must.Get(Read(strings.NewReader("f [MHz],added [pF]\n"+c.rows), "log.csv", Options{Parts: map[string]PartValue{"spike": {1e-12, 1e-13, Unsaid}}})).In(t)
		names, _ := l.Adopt([]readings.Part{value(c.name, 5)}, nil)
		got := "none"
		for _, p := range l.Parts {
			if p.Name == names[0] {
				got = fmt.Sprintf("%s: %.3g ± %.2g", p.Name, p.Capacitance*1e12, p.Uncertainty*1e12)
			}
		}
		if got != c.want {
			t.Errorf("%q, then %q: %s, want %s", c.rows, c.name, got, c.want)
		}
		if s := l.States(); len(s.Parts()) != len(l.Parts) {
			t.Errorf("states know %d parts of %d", len(s.Parts()), len(l.Parts))
		}
	}
	for pair, same := range map[[2]string]bool{{"4.7 pF", "0.0047 nF"}: true, {"4.7 pF", "4.7 pF (1)"}: true, {"4.7 pF (2)", "4.7 pF"}: false, {"4.7 pF (2)", "4700fF (2)"}: true, {"4.7 pF", "4.8 pF"}: false, {"4.7 pF", "roof"}: false,
		{"Roof", "r oof"}: true, {"", ""}: false, {"roof (2)", "roof(2)"}: true, {"roof (2)", "roof"}: false} {
		if SamePart(pair[0], pair[1]) != same || SamePart(pair[1], pair[0]) != same {
			t.Errorf("%q: one part is %v", pair, !same)
		}
	}
	o := Options{Parts: map[string]PartValue{"spike": {}, "0.0047 nF": {}, "Roof": {}, "22 pF": {}}}
	if got := fmt.Sprint(o.Unused([]readings.Part{{Name: "4.7 pF"}, {Name: "roof"}})); got != "[22 pF spike]" {
		t.Error(got)
	}
	if got := fmt.Sprint(o.Unused(nil)); got != "[0.0047 nF 22 pF Roof spike]" {
		t.Error(got)
	}
}
