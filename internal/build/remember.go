package build

import (
	"context"

	"mouldwright/internal/flow"
	"mouldwright/internal/flow/cavity"
	"mouldwright/internal/flow/piece"
	"mouldwright/internal/output"
	"mouldwright/internal/record"
)

// note has every file that is written into out noted in what will be remembered.
func note(out *output.Folder, into *record.Built) {
	if into == nil {
		return
	}
	out.Note(func(name, sha256 string, bytes int) {
		into.Made = append(into.Made, record.File{Name: name, SHA256: sha256, Bytes: bytes})
	})
}

// above keeps the first pieces' heights, coarse, besides what another watcher does.
type above struct {
	flow.Watcher
	into *record.Built
}

func (a above) Piece(ctx context.Context, index int, p *piece.Piece, c *cavity.Cavity) error {
	if a.into != nil && len(a.into.Heights) < record.MaxHeights {
		h, err := record.HeightsOf(p.Name, p.Relief)
		if err != nil {
			return err
		}
		a.into.Heights = append(a.into.Heights, h)
	}
	return a.Watcher.Piece(ctx, index, p, c)
}

// Remember writes a build that has been committed into the record beside its job file.
func Remember(ctx context.Context, job string, b *record.Built, version string) error {
	r, err := record.Open(ctx, job, record.Options{Version: version})
	if err != nil {
		return err
	}
	defer r.Close()
	_, err = r.KeepRevision(ctx, *b)
	return err
}
