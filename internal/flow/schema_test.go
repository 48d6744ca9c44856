package flow

import (
	"os"
	"testing"
)

// The schema in docs is what the types say. After a change of Plan:
// UPDATE=1 go test ./internal/flow, then read the difference. That plans follow it is
// judged in internal/build, by another validator.
func TestSchemaFile(t *testing.T) {
	const file = "../../docs/reference/plan.schema.json"
	want := Schema()
	if os.Getenv("UPDATE") != "" {
		if err := os.WriteFile(file, want, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	got, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if string(got) != string(want) {
		t.Errorf("%s is not what the types say; run UPDATE=1 go test ./internal/flow", file)
	}
}
