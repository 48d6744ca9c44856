package flow

// crockford is the alphabet of D. Crockford's base 32, with the five extra check
// symbols behind it (crockford.com/base32.html).
const crockford = "0123456789ABCDEFGHJKMNPQRSTVWXYZ*~$=U"

// Encode writes n in Crockford's base 32, without check symbol.
func Encode(n uint64) string {
	s := ""
	for {
		s = string(crockford[n%32]) + s
		n /= 32
		if n == 0 {
			return s
		}
	}
}

// CheckSymbol is Crockford's check symbol of n: n mod 37.
func CheckSymbol(n uint64) byte { return crockford[n%37] }

// codeSymbols is the length of a revision's short code without its check symbol (our choice:
// 30 bits are short enough to engrave). Two of a thousand revisions of one job share a code with a chance of 1 in
// 2000, and `verify` compares whole digests.
const codeSymbols = 6

// Code is the short code of a digest: six symbols and a check symbol. Numbers are
// drawn from the digest, 30 bits at a time, until one has a digit or letter for its
// check symbol, since the other five cannot stand in a file name or be read easily
// off an engraving.
func Code(digest [32]byte) string {
	for at := 0; ; at++ {
		var n uint64
		for i := range 4 {
			n = n<<8 | uint64(digest[(at+i)%32])
		}
		n >>= 2
		if n%37 < 32 || at == 31 {
			s := Encode(n)
			for len(s) < codeSymbols {
				s = "0" + s
			}
			return s + string(CheckSymbol(n))
		}
	}
}

// ParseCode reads a short code as a person may write it: lower case, hyphens, O for
// 0, I or L for 1. ok tells whether its check symbol is right.
func ParseCode(s string) (code string, ok bool) {
	var n uint64
	var symbols []byte
	for i := range len(s) {
		c := s[i]
		switch {
		case c == '-' || c == ' ':
			continue
		case c >= 'a' && c <= 'z':
			c -= 'a' - 'A'
		}
		switch c {
		case 'O':
			c = '0'
		case 'I', 'L':
			c = '1'
		}
		symbols = append(symbols, c)
	}
	if len(symbols) != codeSymbols+1 {
		return "", false
	}
	for _, c := range symbols[:codeSymbols] {
		v := value(c)
		if v < 0 || v > 31 {
			return "", false
		}
		n = n<<5 | uint64(v)
	}
	return string(symbols), CheckSymbol(n) == symbols[codeSymbols]
}

func value(c byte) int {
	for i := range len(crockford) {
		if crockford[i] == c {
			return i
		}
	}
	return -1
}
