// SPDX-License-Identifier: BSD-3-Clause
// The whole state as text for the address: JSON, deflated, base64 for addresses.
"use strict";

const LINK_MARK = "#lab1=";

async function through(bytes, stream) {
  return new Uint8Array(await new Response(new Blob([bytes]).stream().pipeThrough(stream)).arrayBuffer());
}

async function toLink(state) {
  const bytes = await through(new TextEncoder().encode(JSON.stringify(state)), new CompressionStream("deflate-raw"));
  let text = "";
  for (let k = 0; k < bytes.length; k += 8192) text += String.fromCharCode(...bytes.subarray(k, k + 8192));
  return LINK_MARK + btoa(text).replaceAll("+", "-").replaceAll("/", "_").replaceAll("=", "");
}

/** The state of a link; null where the address holds none. Throws a sentence for one that is spoilt. */
async function fromLink(fragment) {
  if (!fragment || fragment === "#") return null;
  if (!fragment.startsWith(LINK_MARK)) throw new Error("The address does not hold the state of a lab page.");
  try {
    const text = atob(fragment.slice(LINK_MARK.length).replaceAll("-", "+").replaceAll("_", "/"));
    const bytes = Uint8Array.from(text, (c) => c.charCodeAt(0));
    return JSON.parse(new TextDecoder().decode(await through(bytes, new DecompressionStream("deflate-raw"))));
  } catch {
    throw new Error("The link is damaged: part of it is missing or was changed.");
  }
}
