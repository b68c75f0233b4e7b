/** RxDB on Dexie, replicating over HTTP with handlers of the server that the page came from. */

import { createRxDatabase } from 'rxdb/plugins/core';
import { replicateRxCollection } from 'rxdb/plugins/replication';
import { getRxStorageDexie } from 'rxdb/plugins/storage-dexie';

const BATCH = 500;
const PAGE = 1000;
const SCHEMA = {
  version: 0,
  primaryKey: 'id',
  type: 'object',
  properties: {
    id: { type: 'string', maxLength: 36 },
    dog: { type: 'string' },
    at: { type: 'string' },
    mass_g: { type: 'number' },
  },
};
let collection;
let address;

async function post(path, body) {
  const response = await fetch(`${address}/${path}`, {
    method: 'POST',
    headers: { 'Content-Type': 'application/json' },
    body: JSON.stringify(body),
  });
  if (!response.ok) throw new Error(`${path}: ${response.status}`);
  return response.json();
}

async function get(path) {
  const response = await fetch(`${address}/${path}`);
  if (!response.ok) throw new Error(`${path}: ${response.status}`);
  return response.json();
}

async function replicate(replicationIdentifier, directions) {
  const state = replicateRxCollection({
    collection,
    replicationIdentifier,
    live: false,
    ...directions,
  });
  const failed = new Promise((_, reject) => state.error$.subscribe(reject));
  await Promise.race([state.awaitInitialReplication(), failed]);
  await state.cancel();
}

const push = { batchSize: BATCH, handler: (rows) => post('push', rows) };
const pull = {
  batchSize: PAGE,
  handler: (checkpoint, limit) => {
    const after = checkpoint ? `&updated_at=${checkpoint.updated_at}&id=${checkpoint.id}` : '';
    return get(`pull?limit=${limit}${after}`);
  },
};

window.bench = {
  async open({ name }) {
    address = `${location.origin}/rows/${name}`;
    const database = await createRxDatabase({
      name: 'bench',
      storage: getRxStorageDexie(),
      multiInstance: false,
    });
    ({ rows: collection } = await database.addCollections({
      rows: { schema: SCHEMA },
    }));
  },

  async write(records) {
    for (let at = 0; at < records.length; at += BATCH) {
      const { error } = await collection.bulkInsert(records.slice(at, at + BATCH));
      if (error.length > 0) throw new Error(JSON.stringify(error[0]));
    }
  },

  async push() {
    await replicate('first', { push });
    return {};
  },

  /** As after a lost checkpoint: everything is offered again. */
  async resend() {
    await replicate('again', { push });
  },

  async pull() {
    await replicate('first', { pull });
  },

  count() {
    return collection.count().exec();
  },

  async countAtServer() {
    return (await get('count')).count;
  },
};
