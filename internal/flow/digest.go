package flow

import (
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"sort"
)

// Digest is the SHA-256 of everything that a build depends on: the choices with all
// defaults filled in, the name list, every file's content, and the program version.
// The order of keys and comments in the job file do not count.
func Digest(in *Input, version string) [32]byte {
	h := sha256.New()
	fmt.Fprintf(h, "mouldwright %s\n", version)
	enc := json.NewEncoder(h) // maps are written in the order of their keys
	for _, v := range []any{in.Choices, in.Rows} {
		if err := enc.Encode(v); err != nil {
			panic("flow: choices that JSON cannot hold: " + err.Error()) // NaN is refused by the job's reader
		}
	}
	var names []string
	for n := range in.Files {
		names = append(names, n)
	}
	sort.Strings(names)
	for _, n := range names {
		fmt.Fprintf(h, "%q %x\n", n, sha256.Sum256(in.Files[n]))
	}
	var d [32]byte
	h.Sum(d[:0])
	return d
}
