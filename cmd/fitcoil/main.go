// Command fitcoil turns a page of resonance frequencies of a coil into its
// inductance and capacitance, with honest uncertainties.
//
// Each verb has a file of its own, which parses flags, calls the packages that
// know, and hands the result to one writer. Nothing is computed here.
package main

import (
	"fmt"
	"io"
	"os"
)

func main() {
	os.Exit(run(os.Args[1:], streams{os.Stdin, os.Stdout, os.Stderr}))
}

// streams is where a command reads and writes: results go to out, all else to
// err.
type streams struct {
	in       io.Reader
	out, err io.Writer
}

// run carries out one command line and returns the exit code.
func run(args []string, s streams) int {
	err := dispatch(args, s)
	if err == nil {
		return exitAnswered
	}
	code := classify(err)
	if text := err.Error(); text != "" {
		fmt.Fprintf(s.err, "fitcoil: %s\n", text)
	}
	return code
}

// dispatch finds the verb and runs it. A fault in the program itself becomes an
// error like any other, so that nobody meets a stack of Go.
func dispatch(args []string, s streams) (err error) {
	defer func() {
		if fault := recover(); fault != nil {
			err = &internalError{fault}
		}
	}()
	if len(args) == 0 {
		_, err := io.WriteString(s.out, overview())
		return err
	}
	name, rest := args[0], args[1:]
	if name == "-h" || name == "--help" || name == "help" {
		return help(rest, s)
	}
	if name == "--version" {
		name = "version"
	}
	for _, v := range verbs() {
		if v.name == name {
			return v.run(rest, s)
		}
	}
	return unknownVerb(name)
}
