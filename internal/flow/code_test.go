package flow

import (
	"crypto/sha256"
	"encoding/hex"
	"testing"

	"pgregory.net/rapid"
)

// Values computed from the definition on crockford.com/base32.html; symbol values
// above 31 are * ~ $ = U.
func TestCrockford(t *testing.T) {
	for _, c := range []struct {
		n    uint64
		want string
	}{{0, "00"}, {32, "10*"}, {36, "14U"}, {37, "150"}, {1234, "16JD"}, {1650553701, "1H62WV5J"}} {
		if got := Encode(c.n) + string(CheckSymbol(c.n)); got != c.want {
			t.Errorf("Encode(%d) with check = %s, want %s", c.n, got, c.want)
		}
	}
}

// FIPS 180-4, example "abc".
func TestDigestIsSHA256(t *testing.T) {
	sum := sha256.Sum256([]byte("abc"))
	if got := hex.EncodeToString(sum[:]); got != "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad" {
		t.Errorf("SHA-256 of abc = %s", got)
	}
}

func TestCodeCatchesSlips(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var d [32]byte
		copy(d[:], rapid.SliceOfN(rapid.Byte(), 32, 32).Draw(t, "digest"))
		code := Code(d)
		if got, ok := ParseCode(code); !ok || got != code {
			t.Fatalf("ParseCode(%q) = %q, %v", code, got, ok)
		}
		b := []byte(code)
		i := rapid.IntRange(0, len(b)-1).Draw(t, "place")
		was := b[i]
		b[i] = crockford[rapid.IntRange(0, 31).Draw(t, "symbol")]
		if _, ok := ParseCode(string(b)); ok && b[i] != was {
			t.Fatalf("%q taken for %q", b, code)
		}
		b = []byte(code)
		if i+1 < len(b)-1 && b[i] != b[i+1] {
			b[i], b[i+1] = b[i+1], b[i]
			if _, ok := ParseCode(string(b)); ok {
				t.Fatalf("%q taken for %q", b, code)
			}
		}
	})
}
