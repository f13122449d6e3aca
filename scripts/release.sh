#!/bin/sh
# Makes the archives of a release in dist/, one for each system: the program, the manual
# page, completions, the licence and those of all that is linked in, and a bill of
# materials (CycloneDX, ECMA-424), which stands beside them too, with SHA-256 checksums.
#
#	scripts/release.sh [--check] [REVISION]
#
# They are built from a clean clone of REVISION (HEAD if not given), never from
# the files lying about, so that `fitcoil version` names the source in full. The
# same revision and the same Go give the same bytes, on any machine and in any
# folder: --check builds all a second time, in another folder and with nothing
# kept from the first, and compares.
set -eu
cd "$(dirname "$0")/.."

check=
if [ "${1-}" = --check ]; then
	check=yes
	shift
fi
revision=$(git rev-parse --verify --quiet "${1-HEAD}^{commit}") || {
	echo "release: no revision \"$1\" in this repository" >&2
	exit 2
}
if [ -n "$(git status --porcelain)" ]; then
	echo "release: there are changes that aren't committed; they don't go into the release" >&2
fi

scratch=$(mktemp -d)
trap 'chmod -R u+w "$scratch"; rm -rf "$scratch"' EXIT
trap 'exit 130' INT TERM

# What would change the bytes is set here, whatever the caller's settings.
unset GOEXPERIMENT GO386 GOARM GOFIPS140
export GOFLAGS=-mod=readonly GOWORK=off GOENV=off CGO_ENABLED=0 GOAMD64=v1 GOARM64=v8.0

# build SOURCE FOLDER clones into SOURCE and makes a release in FOLDER.
build() {
	git clone --quiet --no-checkout . "$1"
	git -C "$1" checkout --quiet --detach "$revision"
	programs=$1.programs
	share=$programs/share
	mkdir -p "$2" "$share/share/man/man1" "$share/share/bash-completion/completions" \
		"$share/share/zsh/site-functions" "$share/share/fish/vendor_completions.d"
	for os in linux darwin windows; do
		for arch in amd64 arm64; do
			suffix=
			[ $os = windows ] && suffix=.exe
			(cd "$1" && GOOS=$os GOARCH=$arch go build -trimpath -buildvcs=true -ldflags='-s -w' \
				-o "$programs/fitcoil-$os-$arch$suffix" ./cmd/fitcoil)
		done
	done
	named "$programs"
	cp "$1/LICENSE" "$1/README.md" "$1/CHANGELOG.md" "$1/SECURITY.md" "$share/"
	cp "$1/docs/fitcoil.1" "$share/share/man/man1/"
	scripts/third-party.sh "$1" >"$share/THIRD-PARTY"
	"$here" completion bash >"$share/share/bash-completion/completions/fitcoil"
	"$here" completion zsh >"$share/share/zsh/site-functions/_fitcoil"
	"$here" completion fish >"$share/share/fish/vendor_completions.d/fitcoil.fish"
	version=$(go version -m "$here" | awk '$1 == "mod" { print $3 }')
	(cd "$1" && go run ./scripts/pack "$version" "$(git log -1 --format=%ct)" "$programs" "$2")
	(cd "$2" && sha256 fitcoil-* >SHA256SUMS)
}

sha256() {
	if command -v sha256sum >/dev/null; then sha256sum "$@"; else shasum -a 256 "$@"; fi
}

# named FOLDER expects that the programs in FOLDER name the source they are made
# of: each in what the build recorded, and in so many words the one that runs here.
named() {
	for program in "$1"/fitcoil-*; do
		recorded=$(go version -m "$program")
		for want in "vcs.revision=$revision" vcs.modified=false; do
			case $recorded in
			*"$want"*) ;;
			*)
				echo "release: ${program##*/} was built without $want" >&2
				exit 1
				;;
			esac
		done
	done
	here=$1/fitcoil-$(go env GOHOSTOS)-$(go env GOHOSTARCH)$(go env GOEXE)
	told=$("$here" version)
	case $told in
	"fitcoil v"[0-9]*"revision $revision of "*", unchanged"*) ;;
	*)
		echo "release: \`fitcoil version\` says: $told" >&2
		exit 1
		;;
	esac
}

build "$scratch/source" "$scratch/built"
if [ -n "$check" ]; then
	export GOCACHE="$scratch/cache"
	build "$scratch/elsewhere/again" "$scratch/rebuilt"
	if ! diff "$scratch/built/SHA256SUMS" "$scratch/rebuilt/SHA256SUMS" >&2; then
		echo "release: a second build has other bytes" >&2
		exit 1
	fi
	echo "built twice, the same bytes"
fi

# Whole or not at all, and nothing left of an earlier release.
rm -rf dist
mkdir dist
mv "$scratch/built/"* dist/
cat dist/SHA256SUMS
