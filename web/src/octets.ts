// Reads an answer of octets: uint32 n, a head of n bytes of JSON, then blocks that
// lie on multiples of 8, so that typed arrays can lie right on the buffer.
import type { Block } from "./api";

export interface Octets<Head> {
  head: Head;
  float32(name: string): Float32Array;
  uint16(name: string): Uint16Array;
  uint32(name: string): Uint32Array;
}

/** octets parts an answer; a block that is not there, or reaches outside, is an error. */
export function octets<Head extends { blocks: Block[] }>(buffer: ArrayBuffer): Octets<Head> {
  const n = new DataView(buffer).getUint32(0, true);
  if (4 + n > buffer.byteLength) throw new Error("an answer of octets is shorter than its head says");
  const head = JSON.parse(new TextDecoder().decode(new Uint8Array(buffer, 4, n))) as Head;
  const find = (name: string, type: Block["type"]) => {
    const b = head.blocks.find((b) => b.name === name);
    if (!b || b.type !== type) throw new Error(`no block ${name} of ${type} in the answer`);
    return b;
  };
  return {
    head,
    float32: (name) => {
      const b = find(name, "float32");
      return new Float32Array(buffer, b.at, b.count);
    },
    uint16: (name) => {
      const b = find(name, "uint16");
      return new Uint16Array(buffer, b.at, b.count);
    },
    uint32: (name) => {
      const b = find(name, "uint32");
      return new Uint32Array(buffer, b.at, b.count);
    },
  };
}
