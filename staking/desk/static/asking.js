// What the page asks the desk, and the answers that wait to be sent.

const token = location.hash.slice(1);
export const page = crypto.randomUUID();

export class Refused extends Error {
  constructor(told, status) {
    super(told.error || "the desk does not answer");
    this.told = told;
    this.status = status;
  }
}

async function told(response) {
  let body = {};
  try {
    body = await response.json();
  } catch {
    body = { error: "the desk gave no answer" };
  }
  if (!response.ok) throw new Refused(body, response.status);
  return body;
}

async function asked(path, options) {
  let response;
  try {
    response = await fetch(path, options);
  } catch {
    throw new Refused({ error: "the desk is not running any more; start it again in the terminal" }, 0);
  }
  return response;
}

const own = () => ({ "X-Staking-Token": token });

export async function get(path) {
  return told(await asked(path, { headers: own() }));
}

export async function post(path, body, more = {}) {
  const headers = { ...own(), "Content-Type": "application/json" };
  return told(await asked(path, { method: "POST", headers, body: JSON.stringify(body), ...more }));
}

export async function sendFile(file) {
  const headers = { ...own(), "Content-Type": "application/octet-stream" };
  const path = `/survey?name=${encodeURIComponent(file.name)}`;
  return told(await asked(path, { method: "POST", headers, body: file }));
}

export async function blobOf(name, from = "made") {
  const response = await asked(`/${from}/${encodeURIComponent(name)}`, { headers: own() });
  if (!response.ok) await told(response);
  return response.blob();
}
