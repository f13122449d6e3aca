package main

import (
	"fmt"
	"runtime/debug"
)

func versionVerb() *verb {
	return &verb{name: "version", brief: "print the version of fitcoil", do: func(c *call) error {
		version, revision := "unknown", ""
		if info, ok := debug.ReadBuildInfo(); ok {
			version = info.Main.Version
			for _, s := range info.Settings {
				if s.Key == "vcs.revision" {
					revision = ", revision " + s.Value
				}
			}
		}
		_, err := fmt.Fprintf(c.out, "fitcoil %s%s\n", version, revision)
		return err
	}}
}
