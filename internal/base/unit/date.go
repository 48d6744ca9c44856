package unit

import (
	"fmt"
	"time"
)

// Date is a calendar day without a time or a zone.
type Date struct{ Year, Month, Day int }

// String prints the day as ISO 8601 has it: 2027-03-14.
func (d Date) String() string { return fmt.Sprintf("%04d-%02d-%02d", d.Year, d.Month, d.Day) }

// MarshalText prints the day as String does.
func (d Date) MarshalText() ([]byte, error) { return []byte(d.String()), nil }

// UnmarshalText reads what MarshalText wrote.
func (d *Date) UnmarshalText(text []byte) error {
	t, err := time.Parse(time.DateOnly, string(text))
	if err != nil {
		return err
	}
	*d = Date{t.Year(), int(t.Month()), t.Day()}
	return nil
}
