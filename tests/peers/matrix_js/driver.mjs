// A Matrix client for tests, driven line by line: a JSON command in, {"ev": ...} lines out. It is written with
// matrix-js-sdk, so that nothing of it is shared with the bot. Everything else on standard output is the SDK's own log.
import { createInterface } from "node:readline";
import { webcrypto } from "node:crypto";
import * as sdk from "matrix-js-sdk";
import { logger } from "matrix-js-sdk/lib/logger.js";

logger.disableAll?.();
const { subtle } = webcrypto;
let client;

const out = (value) => process.stdout.write(JSON.stringify(value) + "\n");
const b64 = (bytes) => Buffer.from(bytes).toString("base64").replace(/=+$/, "");
const bytes = (text) => Buffer.from(text, "base64");

function tell(event) {
  if (event.getSender() === client.getUserId() && event.getType() !== "m.room.member") return;
  out({
    ev: "event", room: event.getRoomId(), id: event.getId(), sender: event.getSender(), type: event.getType(),
    content: event.getContent(), raw: event.getOriginalContent?.() ?? event.getContent(),
    encrypted: event.isEncrypted(), failed: event.isDecryptionFailure() || event.getType() === "m.room.encrypted",
  });
}

const commands = {
  async start({ base, user, password }) {
    const login = await sdk.createClient({ baseUrl: base }).login("m.login.password", {
      identifier: { type: "m.id.user", user }, password });
    client = sdk.createClient({ baseUrl: base, userId: login.user_id, deviceId: login.device_id,
      accessToken: login.access_token });
    await client.initRustCrypto({ useIndexedDB: false });
    client.getCrypto().globalBlacklistUnverifiedDevices = false;
    client.on("Room.timeline", (event, room, start, removed, data) => {
      if (start || !data.liveEvent) return;
      tell(event);  // at its place; once more when it is decrypted
    });
    client.on("Event.decrypted", (event) => tell(event));
    client.on("RoomMember.typing", (event, member) => out({ ev: "typing", user: member.userId, typing: member.typing }));
    client.on("Room.receipt", (event) => out({ ev: "receipt", content: event.getContent() }));
    client.on("RoomMember.membership", (event, member) =>
      out({ ev: "membership", room: member.roomId, user: member.userId, membership: member.membership }));
    const synced = new Promise((resolve) => client.on("sync", (state) => state === "PREPARED" && resolve()));
    await client.startClient({ initialSyncLimit: 20 });
    await synced;
    return { user: login.user_id, device: login.device_id, fingerprint: (await client.getCrypto().getOwnDeviceKeys()).ed25519 };
  },
  async open({ user, encrypted }) {
    const initial_state = encrypted
      ? [{ type: "m.room.encryption", state_key: "", content: { algorithm: "m.megolm.v1.aes-sha2" } }] : [];
    const made = await client.createRoom({ preset: "trusted_private_chat", is_direct: true, invite: [user], initial_state });
    return { room: made.room_id };
  },
  async say({ room, content }) {
    return { id: (await client.sendEvent(room, "m.room.message", content)).event_id };
  },
  async react({ room, target, key }) {
    const content = { "m.relates_to": { rel_type: "m.annotation", event_id: target, key } };
    return { id: (await client.sendEvent(room, "m.reaction", content)).event_id };
  },
  async redact({ room, target }) {
    return { id: (await client.redactEvent(room, target)).event_id };
  },
  async photo({ room, data, mime, caption, tampered, kind }) {
    const key = await subtle.generateKey({ name: "AES-CTR", length: 256 }, true, ["encrypt", "decrypt"]);
    const iv = new Uint8Array(16);
    webcrypto.getRandomValues(iv.subarray(0, 8));
    const locked = Buffer.from(await subtle.encrypt({ name: "AES-CTR", counter: iv, length: 64 }, key, bytes(data)));
    const up = await client.uploadContent(locked, { type: "application/octet-stream" });
    const digest = new Uint8Array(await subtle.digest("SHA-256", locked));
    const file = { url: up.content_uri, v: "v2", key: await subtle.exportKey("jwk", key), iv: b64(iv),
      hashes: { sha256: tampered ? "A".repeat(43) : b64(digest) }, mimetype: mime };
    const content = { msgtype: kind, body: caption || "washer.jpg", info: { mimetype: mime, size: bytes(data).length }, file };
    if (caption) content.filename = "washer.jpg";
    return { id: (await client.sendEvent(room, "m.room.message", content)).event_id };
  },
  async fetch({ content }) {
    const file = content.file;
    const url = client.mxcUrlToHttp(file.url, undefined, undefined, undefined, false, true, true);
    const answer = await fetch(url, { headers: { Authorization: `Bearer ${client.getAccessToken()}` } });
    const locked = Buffer.from(await answer.arrayBuffer());
    const digest = new Uint8Array(await subtle.digest("SHA-256", locked));
    if (b64(digest) !== file.hashes.sha256.replace(/=+$/, "")) throw new Error("the photo was changed on the way");
    const key = await subtle.importKey("jwk", file.key, { name: "AES-CTR" }, false, ["decrypt"]);
    const open = await subtle.decrypt({ name: "AES-CTR", counter: bytes(file.iv), length: 64 }, key, locked);
    return { data: Buffer.from(open).toString("base64") };
  },
  async leave({ room }) {
    await client.leave(room);
    return {};
  },
  async joined({ room, user }) {
    return { membership: client.getRoom(room)?.getMember(user)?.membership ?? null };
  },
  async stop() {
    client.stopClient();
    setTimeout(() => process.exit(0), 50);
    return {};
  },
};

for await (const line of createInterface({ input: process.stdin })) {
  const { call, name, ...rest } = JSON.parse(line);
  commands[name](rest).then(
    (result) => out({ ev: "done", call, result }),
    (error) => out({ ev: "done", call, error: String(error?.message ?? error) }));
}
