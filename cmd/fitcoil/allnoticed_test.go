package main

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"fitcoil/internal/must"
)

// noticed are command lines with what each says beside its answer, and the first line of that.
const noticed = `
fit lighthouse.csv --plots plots --format svg
0 fitcoil: note: plots: drew frequency, inverse-square, inductance-capacitance, variance-budget, priors, hand, residuals-added-capacitance, residuals-run-order, residuals-by-state, residuals-normal-quantiles, correlations, as svg
lighthouse.csv: 20 readings, consistent with the model (χ²/ν = 0.39, p = 0.982)

fit lighthouse.csv --plots plots --format svg --quiet
0
lighthouse.csv: 20 readings, consistent with the model (χ²/ν = 0.39, p = 0.982)

fit two.csv --json
0
{

check two.csv
0
two.csv: 4 readings, no fault

capture ring.csv --plots rings --format svg
0 fitcoil: note: rings: drew capture, as svg
ring.csv: 2000 samples of column CH1 [V], 10.00 ns apart

capture ring.csv captures/lighthouse-ringdown.csv --plots rings --format pdf --quiet
0
2 captures (± is one standard uncertainty)

capture ring.csv --row bare
0
frequency [MHz],frequency ± [kHz],added [pF],core,covered [%],hand [cm],amplitude,quality factor,use,note

capture ring.csv --row core=rod,added=4.7pF --append new.csv
0 fitcoil: note: new.csv: 1 row added

capture ring.csv captures/clipped.csv --row "core=rod hand=10cm" --append new.csv
0 fitcoil: note: captures/clipped.csv: 119 clipped samples were left out; choose more volts per division
fitcoil: note: new.csv: 2 rows added

capture ring.csv --row bare --append new.csv --quiet
0

capture ring.csv --row added=4.7pF --append narrow.csv
3 fitcoil: narrow.csv: has no column for "added [pF]": add it to the header, and a delimiter to each row

capture ring.csv --timebase 50ppm --csv
0
name,of,value,u,lo,hi,unit,k,dof,quoted

predict lighthouse.csv core=rod / hand=12cm --plots states --format png
0 fitcoil: note: states: drew predictions, as png
lighthouse.csv: predicted from 20 readings,

predict lighthouse.csv --states planned.csv
0
lighthouse.csv: predicted from 20 readings,

predict lighthouse.csv --reach 1.5MHz --by added
0
lighthouse.csv: to reach 1.5000 MHz by added capacitance

predict lighthouse.csv core=rod --reach 1.5MHz --by covered --csv
0
name,of,value,u,lo,hi,unit,k,dof,quoted

predict lighthouse.csv --reach 1.5MHz
0
lighthouse.csv: to reach 1.5000 MHz, from bare, 2.51875 ± 0.00057 MHz

compare lighthouse.csv rebuilt.csv
0
A: lighthouse.csv: 20 readings,

budget lighthouse.csv --for L --csv
0
name,of,value,u,lo,hi,unit,k,dof,quoted,line,logarithmic,sensitivity,contribution,share

next lighthouse.csv --for L --have 1pF,22pF --csv
0
name,of,value,u,lo,hi,unit,k,dof,quoted

coil lighthouse-coil.csv
0
lighthouse-coil.csv: the coil from its drawing, before any reading

report lighthouse.csv -o page.html
0 fitcoil: note: wrote page.html

fit lighthouse.csv rebuilt.csv
0
Consensus of 2 sessions of one coil
`

// Beside an answer stands what was written, and what to know of how inputs were read.
func TestNotices(t *testing.T) {
	inDemo(t)
	for name, content := range map[string]string{
		"ring.csv": "", "narrow.csv": "frequency [MHz],core\n2.524,\n",
		"two.csv": "frequency [MHz],added [pF],core\n2.524,,\n1.635,4.7,\n1.246,10,\n1.9,,rod\n",
	} {
		if name == "ring.csv" {
			text := must.Get(os.ReadFile("captures/lighthouse-ringdown.csv")).In(t)
			content = string(text)
		}
		must.Do(t, os.WriteFile(name, []byte(content), 0o666))
	}
	for _, b := range strings.Split(strings.TrimSpace(noticed), "\n\n") {
		line, want, _ := strings.Cut(b, "\n")
		a := ask("", shellWords(line)...)
		first, _, _ := strings.Cut(a.out, "\n")
		said := strings.TrimSpace(fmt.Sprintf("%d %s", a.code, a.err))
		if got := strings.TrimSpace(said + "\n" + first); got != want {
			t.Errorf("%s\n%s\nand should say\n%s", line, got, want)
		}
	}
	var names []string
	for _, folder := range []string{"plots", "rings", "states"} {
		list := must.Get(os.ReadDir(folder)).In(t)
		for _, e := range list {
			names = append(names, folder+"/"+e.Name())
		}
	}
	if got := strings.Join(names, "\n"); got != strings.TrimSpace(drawnFiles) {
		t.Errorf("files\n%s", got)
	}
	text, err := os.ReadFile("new.csv")
	if err != nil || strings.TrimSpace(string(text)) != strings.TrimSpace(appended) {
		t.Errorf("%s%v", text, err)
	}
}

const drawnFiles = `
plots/correlations.svg
plots/frequency.svg
plots/hand.svg
plots/inductance-capacitance.svg
plots/inverse-square.svg
plots/priors.svg
plots/residuals-added-capacitance.svg
plots/residuals-by-state.svg
plots/residuals-normal-quantiles.svg
plots/residuals-run-order.svg
plots/variance-budget.svg
rings/capture.svg
rings/lighthouse-ringdown-capture.pdf
rings/ring-capture.pdf
states/predictions.png
`

const appended = `
frequency [MHz],frequency ± [kHz],added [pF],core,covered [%],hand [cm],amplitude,quality factor,use,note
2.5242918,0.0153,4.7,rod,,,2.100,84.0,,
2.5242918,0.0153,,rod,,10,2.100,84.0,,
2.5242774,0.0284,,rod,,10,2.094,84.0,,119 clipped samples were left out
2.5242918,0.0153,,,,,2.100,84.0,,
`
