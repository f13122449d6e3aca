// Package logbook is a log that answers while it is written: one line in, a few lines
// out. It holds what a front end, be it a terminal or a page, needs for an evening at
// the bench: readings taken in and back, what each of them changes, which of them
// surprises, and which to take next.
//
// A [Book] writes each reading to its [Store] before it answers, so that nothing that was
// accepted is lost. How a line is read stands in line.go, what is proposed in propose.go,
// and what is said of a reading in answer.go.
package logbook
