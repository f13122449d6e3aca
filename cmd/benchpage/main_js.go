// Command benchpage is the engine of the bench page: a log that answers while it is
// written, in a browser. It reads, fits and proposes by the same packages as the command
// line, and computes nothing itself. scripts/bench-page.sh puts it into one file.
package main

import (
	"fmt"
	"math"
	"strings"
	"syscall/js"
	"time"

	"fitcoil/ioformat/benchlog"
	"fitcoil/ioformat/coilsheet"
	"fitcoil/ioformat/logbook"
	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/report"
	"fitcoil/model/estimation"
)

var book *logbook.Book

func main() {
	js.Global().Set("fitcoil", js.ValueOf(map[string]any{
		"open":   js.FuncOf(guarded(open)),
		"line":   js.FuncOf(guarded(line)),
		"view":   js.FuncOf(guarded(view)),
		"report": js.FuncOf(guarded(func([]js.Value) map[string]any { return map[string]any{"text": book.Report()} })),
	}))
	js.Global().Call("fitcoilReady")
	select {}
}

// guarded turns a fault of the program into an answer like any other.
func guarded(f func(args []js.Value) map[string]any) func(js.Value, []js.Value) any {
	return func(_ js.Value, args []js.Value) (out any) {
		defer func() {
			if fault := recover(); fault != nil {
				out = map[string]any{"error": fmt.Sprintf("a fault in the program: %v; the log is as it was", fault)}
			}
		}()
		return f(args)
	}
}

// open opens the log with a name and text, and a sheet that may be empty. The last
// arguments are lines, such as have 22pF, that are answered first, and how many characters
// a line of the answer may have.
func open(args []js.Value) map[string]any {
	name, text, sheetName, sheetText := args[0].String(), args[1].String(), args[2].String(), args[3].String()
	var sheet *coilsheet.Sheet
	if sheetText != "" {
		var err error
		if sheet, err = coilsheet.Read(strings.NewReader(sheetText), quantity.Visible(sheetName)); err != nil {
			return map[string]any{"error": err.Error()}
		}
	}
	opt := benchlog.Options{Parts: map[string]benchlog.PartValue{}}
	opened, greeting, err := logbook.Open(&logbook.Memory{Content: []byte(text)}, logbook.Bench{Name: name, Now: time.Now,
		Read: logbook.Reader(quantity.Visible(name), opt, nil, sheet, estimation.Session{}), View: report.View{Width: args[5].Int()}, Tolerance: opt.StandardUncertainty()})
	if err != nil {
		return map[string]any{"error": err.Error()}
	}
	book = opened
	for i := range args[4].Length() {
		if r := book.Line(args[4].Index(i).String()); !r.Refused {
			greeting = book.Greeting()
		}
	}
	return told(greeting, false)
}

// line answers one line.
func line(args []js.Value) map[string]any {
	r := book.Line(args[0].String())
	return told(r.Text, r.Refused)
}

// told is what the page shows at once after a line.
func told(text string, refused bool) map[string]any {
	n := book.Next()
	return map[string]any{"text": text, "refused": refused, "log": string(book.Log()),
		"next": map[string]any{"words": n.Words, "text": n.Text}}
}

// view is what the page shows when the fit has been judged.
func view([]js.Value) map[string]any {
	v := book.View()
	readings := make([]any, len(v.Readings))
	for i, r := range v.Readings {
		row := map[string]any{"line": r.Line, "frequency": r.Frequency, "state": r.State, "used": r.Used, "flagged": r.Flagged}
		if !math.IsNaN(r.Residual) {
			row["residual"], row["uncertainty"] = r.Residual, r.Uncertainty
		}
		readings[i] = row
	}
	answer := ""
	if len(readings) > 0 {
		answer = book.Line("fit").Text
	}
	return map[string]any{"readings": readings, "answer": answer, "parts": list(v.Parts), "cores": list(v.Cores), "unit": v.Unit}
}

func list(words []string) []any {
	out := make([]any, len(words))
	for i, w := range words {
		out[i] = w
	}
	return out
}
