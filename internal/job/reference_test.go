package job

import (
	"os"
	"testing"
)

// The page in docs is what the program's rules say. After a change of the rules:
// UPDATE=1 go test ./internal/job, then read the difference.
func TestReferencePage(t *testing.T) {
	const page = "../../docs/reference/job.md"
	want := Reference()
	if os.Getenv("UPDATE") != "" {
		if err := os.WriteFile(page, []byte(want), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	got, err := os.ReadFile(page)
	if err != nil {
		t.Fatal(err)
	}
	if string(got) != want {
		t.Errorf("%s is not what the rules say; run UPDATE=1 go test ./internal/job", page)
	}
}
