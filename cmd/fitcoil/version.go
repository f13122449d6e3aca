package main

import (
	"fmt"
	"io"
	"runtime"
	"runtime/debug"
)

func versionVerb() *verb {
	return &verb{
		name: "version", brief: "print the version of fitcoil",
		about: `
Prints the version of the module, the revision of its source and whether that
was changed since, as far as the build recorded them.`,
		example: []string{"fitcoil version"},
		do: func(c *call) error {
			info, ok := debug.ReadBuildInfo()
			if !ok {
				info = &debug.BuildInfo{}
			}
			_, err := io.WriteString(c.out, versionText(info))
			return err
		},
	}
}

// versionText tells what the build recorded of itself.
func versionText(info *debug.BuildInfo) string {
	version := info.Main.Version
	if version == "" {
		version = "of unknown version"
	}
	setting := map[string]string{}
	for _, s := range info.Settings {
		setting[s.Key] = s.Value
	}
	text := "fitcoil " + version + "\n"
	if revision := setting["vcs.revision"]; revision != "" {
		state := "unchanged"
		if setting["vcs.modified"] == "true" {
			state = "with changes"
		}
		text += fmt.Sprintf("revision %s of %s, %s\n", revision, setting["vcs.time"], state)
	}
	return text + fmt.Sprintf("%s for %s on %s\n", runtime.Version(), runtime.GOOS, runtime.GOARCH)
}
