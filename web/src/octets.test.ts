import { expect, it } from "vitest";
import type { Block } from "./api";
import { octets } from "./octets";

function answer(blocks: Block[], bytes: number): ArrayBuffer {
  let head = JSON.stringify({ name: "x", blocks });
  while ((4 + head.length) % 8) head += " ";
  const buffer = new ArrayBuffer(4 + head.length + bytes);
  new DataView(buffer).setUint32(0, head.length, true);
  new Uint8Array(buffer).set(new TextEncoder().encode(head), 4);
  return buffer;
}

it("lays typed arrays on the answer", () => {
  const b = answer([{ name: "heights", type: "uint16", at: 96, count: 2 }], 64);
  new DataView(b).setUint16(98, 513, true);
  expect([...octets<{ blocks: Block[] }>(b).uint16("heights")]).toEqual([0, 513]);
});
it("refuses what reaches outside", () => {
  const b = answer([{ name: "heights", type: "uint16", at: 96, count: 9999 }], 8);
  expect(() => octets<{ blocks: Block[] }>(b).uint16("heights")).toThrow();
  expect(() => octets<{ blocks: Block[] }>(b).uint16("rings")).toThrow(/no block/);
});
