// The guests' list as text: one cell of it can be changed without touching the rest.

/** divider is what parts the columns: what the header line has most of. */
export function divider(text: string): string {
  const head = text.split(/\r?\n/, 1)[0] ?? "";
  return [",", ";", "\t"].reduce((a, b) => (head.split(b).length > head.split(a).length ? b : a));
}

/** parse parts a CSV text into rows of cells (RFC 4180). */
export function parse(text: string, by = divider(text)): string[][] {
  const rows: string[][] = [];
  let row: string[] = [];
  let cell = "";
  let quoted = false;
  for (let i = 0; i < text.length; i++) {
    const c = text[i]!;
    if (quoted) {
      if (c !== '"') cell += c;
      else if (text[i + 1] === '"') {
        cell += '"';
        i++;
      } else quoted = false;
    } else if (c === '"' && cell.trim() === "") {
      quoted = true;
      cell = "";
    } else if (c === by) {
      row.push(cell);
      cell = "";
    } else if (c === "\n") {
      rows.push([...row, cell.replace(/\r$/, "")]);
      row = [];
      cell = "";
    } else cell += c;
  }
  if (cell !== "" || row.length > 0) rows.push([...row, cell]);
  return rows;
}

/** write puts rows together again; cells that hold the divider, quotes or lines are quoted. */
export function write(rows: string[][], by = ","): string {
  const quote = (c: string) => (c.includes(by) || /["\n\r]|^\s|\s$/.test(c) ? `"${c.replaceAll('"', '""')}"` : c);
  return rows.map((r) => `${r.map(quote).join(by)}\n`).join("");
}

/** change sets cells of the person's row; columns that are missing are added. */
export function change(text: string, person: string, cells: Record<string, string>): string {
  const by = divider(text);
  const rows = parse(text.replace(/^\ufeff/, ""), by);
  const head = rows[0];
  if (!head) return text;
  const names = head.map((h) => h.trim());
  const at = Math.max(0, names.indexOf("name"));
  const row = rows.slice(1).find((r) => r[at]?.trim() === person);
  if (!row) return text;
  for (const [column, value] of Object.entries(cells)) {
    let k = names.indexOf(column);
    if (k < 0) {
      k = names.push(column) - 1;
      head.push(column);
      for (const r of rows.slice(1)) r.push("");
    }
    row[k] = value;
  }
  return write(rows, by);
}
