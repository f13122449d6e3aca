#!/bin/sh
# Writes the licences of all that is linked into the programs of a release, with
# the notices that they ask for, as one text.
#
#	scripts/third-party.sh [SOURCE]
#
# What is linked is what `go list -deps` says for each system, with the source in
# folder SOURCE (this one if not given); the licences are those in the module
# cache and in Go's own folder. Fails where a linked module has none.
set -eu
cd "${1-$(dirname "$0")/..}"
export CGO_ENABLED=0 LC_ALL=C

scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
trap 'exit 130' INT TERM

# A line for each package: module and version, the module's folder, the
# package's. The standard library stands for a module of its own.
for os in linux darwin windows; do
	for arch in amd64 arm64; do
		GOOS=$os GOARCH=$arch go list -deps -f '
{{- if .Standard}}{{context.GOROOT}}	{{context.GOROOT}}	{{.Dir}}
{{- else if not .Module.Main}}{{.Module.Path}} {{.Module.Version}}	{{.Module.Dir}}	{{.Dir}}
{{- end}}' ./cmd/fitcoil
	done
done | sort -u >"$scratch/linked"
cut -f1,2 "$scratch/linked" | sed '/^$/d' | sort -u >"$scratch/modules"

# notices MODULE ROOT names the files with licences and notices in the folders of
# the module's linked packages and those above them, and in folders of licences.
notices() {
	awk -F '\t' -v root="$2" '$2 == root {
		for (d = $3; length(d) >= length(root); sub("/[^/]*$", "", d))
			print d
	}' "$scratch/linked" | sort -u | tr '\n' '\0' | xargs -0 -I '{}' find '{}' -maxdepth 1 -type f \
		\( -iname '*licen[cs]e*' -o -iname 'copying*' -o -iname 'notice*' -o -iname 'patents*' -o -iname '*ofl*.txt' \)
	[ -d "$2/THIRD_PARTY_LICENSES" ] && find "$2/THIRD_PARTY_LICENSES" -type f
	case $1 in
	golang.org/x/image\ *) echo "$2/font/gofont/ttfs/README" ;; # of the Go fonts
	github.com/golang/freetype\ *) echo "$2/licenses/ftl.txt" ;; # of the two to choose from
	esac
}

cat <<END
fitcoil contains the software and the fonts named below, each under the licence
that follows its name. It is based in part on the work of the FreeType Team.
END
tab=$(printf '\t')
while IFS=$tab read -r module root; do
	name=$module
	[ "$module" = "$root" ] && name="$(go env GOVERSION), standard library"
	notices "$module" "$root" | sort -u >"$scratch/notices"
	# A patent grant or a notice is no licence.
	if ! grep -qiE '/[^/]*(licen[cs]e|copying|ofl)[^/]*$' "$scratch/notices"; then
		echo "third-party: no licence in $root, of $name" >&2
		exit 1
	fi
	while read -r file; do
		printf '\n%s\n%s: %s\n\n' ------------------------------------------------------------------------ \
			"$name" "${file#"$root"/}"
		tr -d '\r' <"$file"
	done <"$scratch/notices"
done <"$scratch/modules"
