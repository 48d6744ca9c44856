package pour

import (
	"crypto/sha256"
	"encoding/binary"
	"fmt"

	"mouldwright/internal/base/finding"
)

// codeAlphabet is that of D. Crockford's base 32: no I, L, O and U, which are taken for
// 1, 1, 0 and V (crockford.com/base32.html).
const codeAlphabet = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"

// codeLength is the symbols of a pad's code (our choice: 20 bits). Twelve combinations share one
// with a chance of 1 in 16,000; Combinations refuses a test in which two do.
const codeLength = 4

// Code is the short code of what a pad is printed and treated with, which stands on it
// in relief: four symbols from the hash of resin, treatment and coating. Case and
// spaces do not count, and neither does the rubber, which comes on the pad later.
func (t CureTest) Code() string {
	h := sha256.Sum256([]byte(plain(t.Resin) + "\n" + plain(t.Treatment) + "\n" + plain(t.Coating)))
	n := binary.BigEndian.Uint32(h[:])
	s := make([]byte, codeLength)
	for i := range s {
		s[i] = codeAlphabet[n>>27]
		n <<= 5
	}
	return string(s)
}

// distinctCodes refuses combinations that their pads would not tell apart.
func distinctCodes(tests []CureTest) error {
	seen := map[string]CureTest{}
	for _, t := range tests {
		if o, twice := seen[t.Code()]; twice {
			return &finding.Error{Key: "cure_test", Found: fmt.Sprintf("two combinations have the code %s: %s, %s, %s and %s, %s, %s", t.Code(), o.Resin, o.Treatment, o.Coating, t.Resin, t.Treatment, t.Coating),
				Do: "word one of them differently"}
		}
		seen[t.Code()] = t
	}
	return nil
}
