package waveform

import (
	"errors"
	"fmt"
	"io"
	"strings"
	"testing"
	"testing/iotest"
)

// told is all that is read of a file, or why nothing is.
func told(text string, opt Options) string {
	f, err := Read(strings.NewReader(text), "scope.csv", opt)
	if err != nil {
		return err.Error()
	}
	var b strings.Builder
	if s := f.Sweep; s != nil {
		fmt.Fprintf(&b, "sweep of %q in %q, %d points from %.6g to %.6g\n", s.Column, s.Unit, len(s.Points), s.Points[0], s.Points[len(s.Points)-1])
		for _, n := range s.Notes {
			b.WriteString("note: " + n + "\n")
		}
	}
	for _, c := range f.Captures {
		s := c.Signal
		fmt.Fprintf(&b, "%q, %s, --column %s, in %q, line %d, segment %d: %d samples from %.6g s, %.6g s apart ± %.2g, %.4g ... %.4g\n", c.Column, c.Title, c.Call, c.Unit, c.FirstLine, c.Segment,
			len(s.Samples), s.Start, s.Interval, s.IntervalUncertainty, s.Samples[:2], s.Samples[len(s.Samples)-1])
		for _, n := range c.Notes {
			b.WriteString("note: " + n + "\n")
		}
	}
	return strings.TrimSpace(b.String())
}

// count writes n rows of times in steps of 1, from 0, and voltages 1, 2, 1, 2, ….
func count(n int, format string) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, format+"\n", i, 1+i%2)
	}
	return b.String()
}

// Each answer word for word: where it is wrong, what was expected, what to do; where it is right, what
// was taken for what. The rows are 1 µs apart where nothing else is said, the voltages 1 and 2 by turns.
func TestAnswersWordForWord(t *testing.T) {
	const micro = "%de-6,%d"
	rows := count(20, micro)
	head := "Time [s],CH1 [V]\n"
	odd := "" // steps of 1.234567
	for i := range 20 {
		odd += fmt.Sprintf("%.6f,%d\n", 0.5+1.234567*float64(i), 1+i%2)
	}
	replace := func(old, with string) string { return strings.Replace(rows, old, with, 1) }
	for _, c := range []struct {
		name, text string
		opt        Options
		want       string
	}{
		{"plain", head + rows, Options{}, `"CH1 [V]", CH1 [V] (column B), --column CH1, in "V", line 2, segment 0: 20 samples from 0 s, 1e-06 s apart ± 2.1e-08, [1 2] ... 2`},
		{"no names", rows, Options{}, `scope.csv:1:1 (column A): the times go in steps of 1e-06 and name no unit, expected times in s (samples every 1 µs) or ms (1 ns); write the unit that is meant into the header, as in time [s], or give --interval 1us or --interval 1ns`},
		{"empty", "", Options{}, `scope.csv: the file is empty, expected rows with a voltage each, mostly beside its time; save the capture as CSV with its samples, not as a picture or a set-up`},
		{"words", "hello\nworld\n", Options{}, `scope.csv: no table of numbers was found, expected rows with a voltage each, mostly beside its time; save the capture as CSV with its samples, not as a picture or a set-up`},
		{"one line", strings.Repeat("1,", 40) + "2\n", Options{}, `scope.csv:1: the line holds 41 cells, most of them numbers, expected a row for each sample; write each sample on a line of its own`},
		{"units behind numbers", "1 us,2 V\n2 us,3 V\n3 us,2 V\n", Options{}, `scope.csv:1: the table has no column of voltages beside the times; save the capture with the voltages, or name the column (--column)`},
		{"two rows", head + count(2, micro), Options{}, `scope.csv: the table has 2 rows, expected at least 3; save the capture as CSV with its samples, not as a picture or a set-up`},
		{"cell empty", head + replace("5e-6,2", "5e-6,"), Options{}, `scope.csv:7:2 (column B, "CH1 [V]"): the cell is empty, expected a voltage as in the rows above`},
		{"no number", head + replace("5e-6,2", "5e-6,x"), Options{}, `scope.csv:7:2 (column B, "CH1 [V]"): read "x", expected a voltage as in the rows above`},
		{"overflow", head + replace("5e-6,2", "5e-6,****"), Options{}, `scope.csv:7:2 (column B, "CH1 [V]"): read "****", expected a voltage as in the rows above; the scope marks overflow or a missing sample this way: lower its sensitivity and capture again`},
		{"overload", head + replace("5e-6,2", "5e-6,9.9e37"), Options{}, `scope.csv:7:2 (column B, "CH1 [V]"): read "9.9e37", expected a voltage as in the rows above; the scope marks overflow or a missing sample this way: lower its sensitivity and capture again`},
		{"row cut", head + replace("5e-6,2", "5e-6"), Options{}, `scope.csv:7: the row has 1 cell, expected at least 2, as above; restore the row from the scope's file, or capture again`},
		{"row short", "Time [s],CH1 [V],CH2 [V]\n" + strings.Replace(count(20, micro+",3"), "5e-6,2,3", "5e-6,2", 1), Options{}, `scope.csv:7: the row has 2 cells, expected at least 3, as above; restore the row from the scope's file, or capture again`},
		{"time bad", head + replace("5e-6,2", "soon,2"), Options{}, `scope.csv:7:1 (column A, "Time [s]"): read "soon", expected a time as in the rows above`},
		{"row missing", head + replace("5e-6,2\n", ""), Options{}, `scope.csv:7:1 (column A, "Time [s]"): the time goes on by 2e-06 s, expected 1e-06 s as between the other rows; rows are missing, or the capture wasn't sampled evenly: save it again`},
		{"row twice", head + replace("5e-6,2\n", "5e-6,2\n5e-6,2\n"), Options{}, `scope.csv:8:1 (column A, "Time [s]"): the time is the same as in the row above, expected 1e-06 s as between the other rows; rows are missing, or the capture wasn't sampled evenly: save it again`},
		{"goes back", head + rows + count(7, micro), Options{}, `scope.csv:22:1 (column A, "Time [s]"): the time goes back by 1.9e-05 s, expected 1e-06 s as between the other rows; save each capture in a file of its own`},
		{"numbers jump", "Sample,CH1 [V],x\nSample interval: 1 us\nSample,CH1 [V],\n" + strings.Replace(count(20, "%d,%d,"), "5,2,\n", "", 1), Options{}, `scope.csv:9:1 (column A, "Sample"): the row numbers go on by 2, expected 1; rows are missing, or the capture wasn't sampled evenly: save it again`},
		{"uneven", head + "0,1\n1e-6,2\n3e-6,1\n7e-6,2\n15e-6,1\n31e-6,2\n63e-6,1\n", Options{}, `scope.csv:3:1 (column A, "Time [s]"): the times don't go in equal steps, expected samples at equal intervals; choose equal intervals in the scope, and capture again`},
		{"peak detection", head + "0,1\n0,2\n1e-6,1\n1e-6,2\n2e-6,1\n2e-6,2\n3e-6,1\n3e-6,2\n", Options{}, `scope.csv:2:1 (column A, "Time [s]"): the times are so coarse that the interval is open by 14 %, expected times that tell it; save them with more digits, or give the time between samples with --interval`},
		{"times stand still", head + count(20, "0%.0d.5e-6,%d"), Options{}, `"CH1 [V]", CH1 [V] (column B), --column CH1, in "V", line 2, segment 0: 20 samples from 5e-07 s, 1e-06 s apart ± 2.1e-09, [1 2] ... 2`},
		{"coarse times", head + "0.00000,1\n0.00000,2\n0.00001,1\n0.00001,2\n0.00002,1\n0.00002,1\n", Options{}, `scope.csv:2:1 (column A, "Time [s]"): the times are so coarse that the interval is open by 20 %, expected times that tell it; save them with more digits, or give the time between samples with --interval`},
		{"coarse times, interval stated", "Sample interval: 5 us\n" + head + "0.00000,1\n0.00000,2\n0.00001,1\n0.00001,2\n0.00002,1\n0.00002,1\n", Options{}, `"CH1 [V]", CH1 [V] (column B), --column CH1, in "V", line 3, segment 0: 6 samples from 0 s, 5e-06 s apart ± 0, [1 2] ... 1`},
		{"segments, interval given", head + rows + rows + rows, Options{Interval: 2e-6}, `scope.csv: the sample interval given is 2 µs, expected 1 µs, by which the times advance; leave it out: the times tell the interval`},
		{"no unit", "t,u\n" + count(20, "%d,%d"), Options{}, `scope.csv:2: the file has neither a column of times nor a sample interval; give it with --interval: the time from the first sample to the last, divided by 19`},
		{"no unit, small steps", "t,u\n" + count(20, "%de-9,%d"), Options{}, `"u", u (column B), --column u, in "", line 2, segment 0: 20 samples from 0 s, 1e-09 s apart ± 2.1e-11, [1 2] ... 2
note: the times name no unit: taken as seconds`},
		{"no unit, interval given", "t,u\n" + count(20, "%d,%d"), Options{Interval: 1e-6}, `"u", u (column B), --column u, in "", line 2, segment 0: 20 samples from 0 s, 1e-06 s apart ± 0, [1 2] ... 2`},
		{"no unit, another interval given", "t,u\n" + count(20, "%d,%d"), Options{Interval: 5e-6}, `"u", u (column B), --column u, in "", line 2, segment 0: 20 samples from 0 s, 5e-06 s apart ± 0, [1 2] ... 2`},
		{"no unit, another stated", "Sample interval: 5 us\nt,u\n" + count(20, "%d,%d"), Options{}, `"u", u (column B), --column u, in "", line 3, segment 0: 20 samples from 0 s, 5e-06 s apart ± 0, [1 2] ... 2`},
		{"unit of the axis", "Horizontal Units,ms\nt,u\n" + count(20, "%d,%d"), Options{}, `scope.csv:3: the file has neither a column of times nor a sample interval; give it with --interval: the time from the first sample to the last, divided by 19`},
		{"two units", "Horizontal Units,ms\nt [us],u\n" + count(20, "%d,%d"), Options{}, `scope.csv:1:2 (column B): the times are in us by their header, in ms by "Horizontal Units", expected one unit; correct the one that is wrong`},
		{"wrong unit", "t [kg],u\n" + count(20, "%d,%d"), Options{}, `scope.csv:2: the file has neither a column of times nor a sample interval; give it with --interval: the time from the first sample to the last, divided by 19`},
		{"interval given", head + rows, Options{Interval: 2e-6}, `scope.csv: the sample interval given is 2 µs, expected 1 µs, by which the times advance; leave it out: the times tell the interval`},
		{"interval negative", head + rows, Options{Interval: -1}, `scope.csv: the sample interval is given as -1 s, expected a time above 0`},
		{"no times", count(20, "%[2]d"), Options{}, `scope.csv:1: the file has neither a column of times nor a sample interval; give it with --interval: the time from the first sample to the last, divided by 19`},
		{"no times, given", count(20, "%[2]d"), Options{Interval: 1e-6}, `"column A", column A, --column 1, in "", line 1, segment 0: 20 samples from 0 s, 1e-06 s apart ± 0, [1 2] ... 2`},
		{"no times, stated", "Sample interval: 2 us\nCH1 [mV]\n" + count(20, "%[2]d"), Options{}, `"CH1 [mV]", CH1 [mV] (column A), --column CH1, in "V", line 3, segment 0: 20 samples from 0 s, 2e-06 s apart ± 0, [0.001 0.002] ... 0.002`},
		{"no times, stated without unit", "Sample interval,2\nCH1\n" + count(20, "%[2]d"), Options{}, `scope.csv:1:2 (column B): read "2" without a unit, expected a sample interval in ms (samples every 2 ms), µs (2 µs) or ns (2 ns); give the one that is meant: --interval 2ms, --interval 2us or --interval 2ns`},
		{"no times, a small one stated without unit", "Sample interval,2e-9\nCH1\n" + count(20, "%[2]d"), Options{}, `"CH1", CH1 (column A), --column CH1, in "", line 3, segment 0: 20 samples from 0 s, 2e-09 s apart ± 0, [1 2] ... 2
note: the sample interval "2e-9" in line 1 names no unit: taken as seconds`},
		{"no times, a rate", "Sample rate,500 MSa/s\nCH1\n" + count(20, "%[2]d"), Options{}, `"CH1", CH1 (column A), --column CH1, in "", line 3, segment 0: 20 samples from 0 s, 2e-09 s apart ± 0, [1 2] ... 2`},
		{"no times, a rate without unit", "Sample rate,500\nCH1\n" + count(20, "%[2]d"), Options{}, `scope.csv:1:2 (column B): read "500" without a unit, expected a rate in Sa/s (samples every 2 ms), kSa/s (2 µs) or MSa/s (2 ns); give the one that is meant: --interval 2ms, --interval 2us or --interval 2ns`},
		{"no times, perhaps cursors", "Delta T: 2 us\nCH1\n" + count(20, "%[2]d"), Options{}, `scope.csv:1:1 (column A): "Delta T 2 us" may be the time between samples, or that between two cursors or the length of something, expected a column of times, or a sample interval that is called so; if it is the time between samples, give --interval 2us`},
		{"no times, perhaps cursors, no unit", "Delta: 2\nCH1\n" + count(20, "%[2]d"), Options{}, `scope.csv:1:1 (column A): "Delta 2" may be the time between samples, or that between two cursors or the length of something, expected a column of times, or a sample interval that is called so; if it is the time between samples, give it with its unit: --interval 2ms, --interval 2us or --interval 2ns`},
		{"two stated", "Sample interval: 2 us\nSample rate: 1 MHz\nCH1\n" + count(20, "%[2]d"), Options{}, `scope.csv:2:1 (column A): the file states two sample intervals: "Sample interval 2 us" in line 1 (2 µs), and "Sample rate 1 MHz" in line 2 (1 µs), expected one; delete the line that is wrong, or save the capture again`},
		{"two stated, one given", "Sample interval: 2 us\nSample rate: 1 MHz\nCH1\n" + count(20, "%[2]d"), Options{Interval: 2e-6}, `scope.csv:2:1 (column A): the file states two sample intervals: "Sample interval 2 us" in line 1 (2 µs), and "Sample rate 1 MHz" in line 2 (1 µs), expected one; delete the line that is wrong, or save the capture again`},
		{"two stated beside times", "Sample interval: 2 us\nSample rate: 1 MHz\n" + head + rows, Options{}, `scope.csv:2:1 (column A): the file states two sample intervals: "Sample interval 2 us" in line 1 (2 µs), and "Sample rate 1 MHz" in line 2 (1 µs), expected one; delete the line that is wrong, or save the capture again`},
		{"given against stated", "Sample interval: 2 us\nCH1\n" + count(20, "%[2]d"), Options{Interval: 3e-6}, `scope.csv:1:1 (column A): the sample interval given, 3 µs, contradicts the file: "Sample interval 2 us" in line 1 (2 µs), expected one interval; leave --interval out, or correct the file where it is wrong`},
		{"stated against times", "Sample interval: 2 us\n" + head + rows, Options{}, `scope.csv:1:1 (column A): the file states "Sample interval 2 us" in line 1 (2 µs), and its times advance by 1 µs, expected one interval; if the times are right, delete this line; else save the capture again`},
		{"length stated", "Record length,50\n" + head + rows, Options{}, `scope.csv:1:2 (column B): "Record length 50" is stated, and the table has 20 rows, expected as many rows as stated; save the capture again, whole; if the rest isn't wanted, write 20 there`},
		{"length stated right", "Record length,20\n" + head + rows, Options{}, `"CH1 [V]", CH1 [V] (column B), --column CH1, in "V", line 3, segment 0: 20 samples from 0 s, 1e-06 s apart ± 2.1e-08, [1 2] ... 2`},
		{"no voltages", "Time [s],x\n" + count(20, "%de-6,"), Options{}, `scope.csv: no table of numbers was found, expected rows with a voltage each, mostly beside its time; save the capture as CSV with its samples, not as a picture or a set-up`},
		{"column by name", "Time [s],near [V],far [V]\n" + count(20, micro+",3"), Options{Column: "nera"}, `scope.csv:2: there is no column of voltages called "nera", expected near [V] (column B), far [V] (column C); did you mean near?`},
		{"column of times", head + rows, Options{Column: "A"}, `scope.csv:2: "A" is the column of times, expected CH1 [V] (column B)`},
		{"column of two", "Time [s],2,CH2\ns,V,V\n" + count(20, micro+",3"), Options{Column: "2"}, `"2 [V]", 2 [V] (column B), --column 2, in "V", line 3, segment 0: 20 samples from 0 s, 1e-06 s apart ± 2.1e-08, [1 2] ... 2`},
		{"nine columns", "Time [s],a,b,c,d,e,f,g,h,i\n" + count(20, micro+",1,2,3,4,5,6,7,8"), Options{}, `"a", a (column B), --column 2, in "", line 2, segment 0: 20 samples from 0 s, 1e-06 s apart ± 2.1e-08, [1 2] ... 2
"b", b (column C), --column 3, in "", line 2, segment 0: 20 samples from 0 s, 1e-06 s apart ± 2.1e-08, [1 1] ... 1
"c", c (column D), --column 4, in "", line 2, segment 0: 20 samples from 0 s, 1e-06 s apart ± 2.1e-08, [2 2] ... 2
"d", d (column E), --column 5, in "", line 2, segment 0: 20 samples from 0 s, 1e-06 s apart ± 2.1e-08, [3 3] ... 3
"e", e (column F), --column 6, in "", line 2, segment 0: 20 samples from 0 s, 1e-06 s apart ± 2.1e-08, [4 4] ... 4
"f", f (column G), --column 7, in "", line 2, segment 0: 20 samples from 0 s, 1e-06 s apart ± 2.1e-08, [5 5] ... 5
"g", g (column H), --column 8, in "", line 2, segment 0: 20 samples from 0 s, 1e-06 s apart ± 2.1e-08, [6 6] ... 6
"i", i (column J), --column 10, in "", line 2, segment 0: 20 samples from 0 s, 1e-06 s apart ± 2.1e-08, [8 8] ... 8`},
		{"nine columns, no time", count(20, "0.%d,0.%d,0.1,0.2,0.3,0.4,0.5,0.6,0.7"), Options{}, `scope.csv:1: the lines hold 9 numbers each and no time, expected at most 8; if they are samples one after the other, write each on a line of its own; else choose a column, as in --column 1`},
		{"other times", "Time [s],CH1 [V],Time [s],CH2 [V]\n" + count(20, micro+",%[1]d.5e-6,3"), Options{}, `scope.csv:2:3 (column C, "Time [s]"): CH2 [V] (column D) has other times than CH1 [V] (column B), expected the same times for all, or one voltage; choose one, as in --column CH1`},
		{"comma twice", "Time [s],CH1 [V]\n" + count(20, "0,%03d,1,%d00"), Options{}, `scope.csv:2: the row has 4 cells, expected 2 as in the header; if the comma is a decimal mark too, save the capture with ; between cells or with decimal points`},
		{"cut off", head + rows + "20e-6,1", Options{}, `"CH1 [V]", CH1 [V] (column B), --column CH1, in "V", line 2, segment 0: 20 samples from 0 s, 1e-06 s apart ± 2.1e-08, [1 2] ... 2
note: line 22, the last, has no line end and may be cut off: left out`},
		{"remark behind", head + rows + "the end\n", Options{}, `"CH1 [V]", CH1 [V] (column B), --column CH1, in "V", line 2, segment 0: 20 samples from 0 s, 1e-06 s apart ± 2.1e-08, [1 2] ... 2
note: the lines from 22 on are not rows of the table: left out`},
		{"damage before a remark", head + rows + "20e-6,x\nthe end\n", Options{}, `scope.csv:22:2 (column B, "CH1 [V]"): read "x", expected a voltage as in the rows above
scope.csv:23:1 (column A, "Time [s]"): read "the end", expected a time as in the rows above`},
		{"segments", head + strings.Repeat(rows, 3), Options{}, `"CH1 [V]", CH1 [V] (column B), --column CH1, in "V", line 2, segment 1: 20 samples from 0 s, 1e-06 s apart ± 2.1e-08, [1 2] ... 2
"CH1 [V]", CH1 [V] (column B), --column CH1, in "V", line 2, segment 2: 20 samples from 0 s, 1e-06 s apart ± 2.1e-08, [1 2] ... 2
"CH1 [V]", CH1 [V] (column B), --column CH1, in "V", line 2, segment 3: 20 samples from 0 s, 1e-06 s apart ± 2.1e-08, [1 2] ... 2`},
		{"segments with headings", head + rows + head + rows, Options{}, `"CH1 [V]", CH1 [V] (column B), --column CH1, in "V", line 2, segment 1: 20 samples from 0 s, 1e-06 s apart ± 2.1e-08, [1 2] ... 2
"CH1 [V]", CH1 [V] (column B), --column CH1, in "V", line 2, segment 2: 20 samples from 0 s, 1e-06 s apart ± 2.1e-08, [1 2] ... 2`},
		{"segments ahead", head + rows + strings.ReplaceAll(rows, "e-6,", ".0001e-2,") + strings.ReplaceAll(rows, "e-6,", ".0002e-1,"), Options{}, `scope.csv:22:1 (column A, "Time [s]"): the time goes back by 1.8e-05 s, expected 1e-06 s as between the other rows; save each capture in a file of its own
scope.csv:24:1 (column A, "Time [s]"): the time goes on by 0.01 s, expected 1e-06 s as between the other rows; rows are missing, or the capture wasn't sampled evenly: save it again
scope.csv:26:1 (column A, "Time [s]"): the time goes on by 0.01 s, expected 1e-06 s as between the other rows; rows are missing, or the capture wasn't sampled evenly: save it again
scope.csv:28:1 (column A, "Time [s]"): the time goes on by 0.01 s, expected 1e-06 s as between the other rows; rows are missing, or the capture wasn't sampled evenly: save it again
scope.csv:30:1 (column A, "Time [s]"): the time goes on by 0.01 s, expected 1e-06 s as between the other rows; rows are missing, or the capture wasn't sampled evenly: save it again
scope.csv:32:1 (column A, "Time [s]"): the time goes on by 0.01 s, expected 1e-06 s as between the other rows; rows are missing, or the capture wasn't sampled evenly: save it again
scope.csv:34:1 (column A, "Time [s]"): the time goes on by 0.01 s, expected 1e-06 s as between the other rows; rows are missing, or the capture wasn't sampled evenly: save it again
scope.csv:36:1 (column A, "Time [s]"): the time goes on by 0.01 s, expected 1e-06 s as between the other rows; rows are missing, or the capture wasn't sampled evenly: save it again
scope.csv:38:1 (column A, "Time [s]"): the time goes on by 0.01 s, expected 1e-06 s as between the other rows; rows are missing, or the capture wasn't sampled evenly: save it again
scope.csv:40:1 (column A, "Time [s]"): the time goes on by 0.01 s, expected 1e-06 s as between the other rows; rows are missing, or the capture wasn't sampled evenly: save it again
scope.csv:42:1 (column A, "Time [s]"): the time goes back by 0.19 s, expected 1e-06 s as between the other rows; save each capture in a file of its own
scope.csv:44:1 (column A, "Time [s]"): the time goes on by 0.1 s, expected 1e-06 s as between the other rows; rows are missing, or the capture wasn't sampled evenly: save it again
scope.csv:46:1 (column A, "Time [s]"): the time goes on by 0.1 s, expected 1e-06 s as between the other rows; rows are missing, or the capture wasn't sampled evenly: save it again
scope.csv:48:1 (column A, "Time [s]"): the time goes on by 0.1 s, expected 1e-06 s as between the other rows; rows are missing, or the capture wasn't sampled evenly: save it again
scope.csv:50:1 (column A, "Time [s]"): the time goes on by 0.1 s, expected 1e-06 s as between the other rows; rows are missing, or the capture wasn't sampled evenly: save it again
scope.csv:52:1 (column A, "Time [s]"): the time goes on by 0.1 s, expected 1e-06 s as between the other rows; rows are missing, or the capture wasn't sampled evenly: save it again
scope.csv:54:1 (column A, "Time [s]"): the time goes on by 0.1 s, expected 1e-06 s as between the other rows; rows are missing, or the capture wasn't sampled evenly: save it again
scope.csv:56:1 (column A, "Time [s]"): the time goes on by 0.1 s, expected 1e-06 s as between the other rows; rows are missing, or the capture wasn't sampled evenly: save it again
scope.csv:58:1 (column A, "Time [s]"): the time goes on by 0.1 s, expected 1e-06 s as between the other rows; rows are missing, or the capture wasn't sampled evenly: save it again
scope.csv:60:1 (column A, "Time [s]"): the time goes on by 0.1 s, expected 1e-06 s as between the other rows; rows are missing, or the capture wasn't sampled evenly: save it again`},
		{"half steps", "t [kg],u\n" + count(20, "%d.5,%d"), Options{}, `scope.csv:2:1 (column A, "t [kg]"): the times have the unit "kg", expected a unit of time (h, min, s, ms, µs, ns, ps); correct the header`},
		{"half steps, no unit", "t,u\n" + count(20, "%d.5,%d"), Options{}, `scope.csv:2:1 (column A): the times go in steps of 1 and name no unit, expected times in s (samples every 1 s), ms (1 ms), µs (1 µs) or ns (1 ns); write the unit that is meant into the header, as in t [s], or give --interval 1s, --interval 1ms, --interval 1us or --interval 1ns`},
		{"odd steps, no unit", "t,u\n" + odd, Options{}, `scope.csv:2:1 (column A): the times go in steps of 1.235 and name no unit, expected times in ms (samples every 1.234567 ms), µs (1.234567 µs) or ns (1.234567 ns); write the unit that is meant into the header, as in t [ms], or give --interval 1.234567ms, --interval 1.234567us or --interval 1.234567ns`},
		{"odd steps, another interval given", "t,u\n" + odd, Options{Interval: 5e-6}, `scope.csv:2:1 (column A): the times go in steps of 1.235, and the interval given is 5 µs, expected an interval of ms (samples every 1.234567 ms), µs (1.234567 µs) or ns (1.234567 ns); give --interval 1.234567ms, --interval 1.234567us or --interval 1.234567ns`},
		{"odd steps, another stated", "Sample interval: 5 us\nt,u\n" + odd, Options{}, `scope.csv:3:1 (column A): the times go in steps of 1.235, and the file states "Sample interval 5 us" in line 1 (5 µs), expected steps that are this interval in some unit; delete what is wrong, or save the capture again`},
		{"half steps, interval given", "t,u\n" + count(20, "%d.5,%d"), Options{Interval: 1e-6}, `"u", u (column B), --column u, in "", line 2, segment 0: 20 samples from 5e-07 s, 1e-06 s apart ± 0, [1 2] ... 2
note: the times name no unit: taken as µs by the interval given`},
		{"half steps, another interval given", "t,u\n" + count(20, "%d.5,%d"), Options{Interval: 5e-6}, `scope.csv:2:1 (column A): the times go in steps of 1, and the interval given is 5 µs, expected an interval of s (samples every 1 s), ms (1 ms), µs (1 µs) or ns (1 ns); give --interval 1s, --interval 1ms, --interval 1us or --interval 1ns`},
		{"half steps, another stated", "Sample interval: 5 us\nt,u\n" + count(20, "%d.5,%d"), Options{}, `scope.csv:3:1 (column A): the times go in steps of 1, and the file states "Sample interval 5 us" in line 1 (5 µs), expected steps that are this interval in some unit; delete what is wrong, or save the capture again`},
		{"half steps, unit of the axis", "Horizontal Units,ms\nt,u\n" + count(20, "%d.5,%d"), Options{}, `"u", u (column B), --column u, in "", line 3, segment 0: 20 samples from 0.0005 s, 0.001 s apart ± 2.1e-06, [1 2] ... 2`},
		{"times stand", head + count(20, "0.000,%[2]d"), Options{}, `scope.csv:2:1 (column A, "Time [s]"): the times don't advance, expected times at equal intervals; save them with more digits, or give the time between samples with --interval: the rows are counted then`},
		{"times stand, interval given", head + count(20, "0.000,%[2]d"), Options{Interval: 1e-6}, `"CH1 [V]", CH1 [V] (column B), --column CH1, in "V", line 2, segment 0: 20 samples from 0 s, 1e-06 s apart ± 0, [1 2] ... 2
note: the times don't advance: the rows were counted, 1 µs apart as given`},
		{"pairs", head + strings.ReplaceAll(rows, "e-6,", "000e-9,7\n") + "", Options{}, `scope.csv: no table of numbers was found, expected rows with a voltage each, mostly beside its time; save the capture as CSV with its samples, not as a picture or a set-up`},
		{"counts", "Y Increment,0.02\nY Origin,0.5\nY Reference,1\nTime [s],CH1\n" + rows, Options{}, `"CH1", CH1 (column B), --column CH1, in "V", line 5, segment 0: 20 samples from 0 s, 1e-06 s apart ± 2.1e-08, [0.5 0.52] ... 0.52
note: the samples are counts of the converter: turned into volts with "Y Increment" = 0.02 V in line 1`},
		{"counts in mV", "YMult [mV],20\nYOff,1\nYZero,0\nTime [s],CH1\n" + rows, Options{}, `"CH1", CH1 (column B), --column CH1, in "V", line 5, segment 0: 20 samples from 0 s, 1e-06 s apart ± 2.1e-08, [0 0.02] ... 0.02
note: the samples are counts of the converter: turned into volts with "YMult [mV]" = 0.02 V in line 1`},
		{"counts without a scale", "Time [s],CH1\nVertical Units,V\nTime [s],CH1\n" + rows, Options{}, `"CH1", CH1 (column B), --column CH1, in "", line 4, segment 0: 20 samples from 0 s, 1e-06 s apart ± 2.1e-08, [1 2] ... 2
note: the samples are whole numbers: taken for counts of the converter, not for volts`},
		{"spectrum", "Frequency [Hz],FFT [dB]\n" + rows, Options{}, `scope.csv:1:2 (column B): this is a spectrum: "FFT [dB]", expected a trace in time, or a sweep of the drive's frequency; save the channel itself, in time, with the scope's spectrum switched off`},
		{"spectrum by its settings", "Source,Math FFT\nf,a\n" + rows, Options{}, `scope.csv:1:2 (column B): this is a spectrum: "Source Math FFT", expected a trace in time, or a sweep of the drive's frequency; save the channel itself, in time, with the scope's spectrum switched off`},
		{"spectrum by its axis", "Horizontal Units,Hz\nf,a\n" + count(20, "%d.5,%d"), Options{}, `scope.csv:1:2 (column B): this is a spectrum: "Horizontal Units Hz", expected a trace in time, or a sweep of the drive's frequency; save the channel itself, in time, with the scope's spectrum switched off`},
		{"spectrum by its look", "Frequency [Hz],a\n" + count(80, "%d000,0.%d"), Options{}, `scope.csv:2:1 (column A, "Frequency [Hz]"): the frequencies go from zero in equal steps: this is a spectrum, expected a trace in time, or a sweep of the drive's frequency around the resonance; save the channel itself, in time, with the scope's spectrum switched off`},
		{"sweep", "Frequency [kHz],a [mV]\n" + strings.ReplaceAll(count(80, "24%02d,%d"), "\n2400,1\n", "\n"), Options{}, `sweep of "a [mV]" in "V", 80 points from {2.4e+06 0.001 1000 0.001} to {2.479e+06 0.002 1000 0.001}
note: the frequencies go in equal steps: if they are a spectrum of a trace and no sweep of the drive, the width is that of the record, not the coil's`},
		{"sweep without unit", "f,a\n" + count(9, "250%d,%d"), Options{}, `scope.csv:1:1 (column A, "f"): the frequencies name no unit, expected Hz, kHz or MHz in the header; write it there, as in frequency [MHz]`},
		{"sweep in kg", "f [kg],a\n" + count(9, "250%d,%d"), Options{}, `scope.csv:1:1 (column A, "f [kg]"): the frequencies have the unit "kg", expected Hz, kHz or MHz in the header; write it there, as in frequency [MHz]`},
		{"sweep without amplitudes", "f [kHz],phase\n" + count(9, "250%d,%d"), Options{}, `scope.csv:1: the table has frequencies and no column of amplitudes, expected an amplitude beside each frequency; add it, or use fitcoil fit if this is a log`},
		{"sweep of two", "f [kHz],a,b\n" + count(9, "250%d,%d,0.3"), Options{}, `scope.csv:1: 2 columns could be the amplitude: a (column B), b (column C), expected one; choose one, as in --column 2`},
		{"sweep of a gain", "f [kHz],a,gain [dB]\n" + count(9, "250%d,%d,-20"), Options{}, `sweep of "gain [dB]" in "1", 9 points from {2.5e+06 0.1 1000 0.0115129} to {2.508e+06 0.1 1000 0.0115129}
note: the amplitude is taken from gain [dB] (column C)`},
		{"sweep of another", "f [kHz],a,b\n" + count(9, "250%d,%d,0.3"), Options{Column: "c"}, `sweep of "b" in "", 9 points from {2.5e+06 0.3 1000 0.1} to {2.508e+06 0.3 1000 0.1}`},
		{"sweep of zero", "f [kHz],a\n" + strings.Replace(count(9, "250%d,%d"), "2504,1", "2504,0", 1), Options{}, `scope.csv:6:2 (column B, "a"): read "0", expected an amplitude above 0; leave the row out`},
		{"sweep with a hole", "f [kHz],a\n" + strings.Replace(count(9, "250%d,%d"), "2504,1", "2504", 1), Options{}, `scope.csv:6: the row has 1 cell, expected at least 2, as above; restore the row from the scope's file, or capture again`},
		{"sweep with a remark", "f [kHz],a\n" + count(9, "250%d,%d") + "the end\n", Options{}, `sweep of "a" in "", 9 points from {2.5e+06 1 1000 1} to {2.508e+06 1 1000 1}
note: the lines from 11 on are not rows of the table: left out`},
	} {
		if got := told(c.text, c.opt); got != c.want {
			t.Errorf("%s: %s\nwant %s", c.name, got, c.want)
		}
	}
	broken := errors.New("broken")
	if _, err := Read(iotest.ErrReader(broken), "scope.csv", Options{}); !errors.Is(err, broken) || err.Error() != "scope.csv: broken" {
		t.Error(err)
	}
	if _, err := Read(io.MultiReader(strings.NewReader(head+strings.Repeat(rows, 700)), iotest.ErrReader(broken)), "scope.csv", Options{}); !errors.Is(err, broken) {
		t.Error(err)
	}
	if got := told(head+rows+strings.Repeat("1", 1<<19+10), Options{}); got != "scope.csv:22: this line is longer than half a million characters; check that this is the right file" {
		t.Error(got)
	}
	if got := told("\x1f\x8b", Options{}); got != "scope.csv: this is a compressed file; unpack it first" {
		t.Error(got)
	}
}
