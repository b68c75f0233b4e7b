/** PouchDB in the page, replicating with the server that the page came from. */

import PouchDB from 'pouchdb/dist/pouchdb.js';

const BATCH = 500;
const PAGE = 1000;
let local;
let remote;

window.bench = {
  async open({ name }) {
    local = new PouchDB('bench', { adapter: 'idb', auto_compaction: false });
    remote = new PouchDB(`${location.origin}/${name}`);
    await Promise.all([local.info(), remote.info()]);
  },

  async write(records) {
    for (let at = 0; at < records.length; at += BATCH) {
      const docs = records.slice(at, at + BATCH).map(({ id, ...rest }) => ({ _id: id, ...rest }));
      await local.bulkDocs(docs);
    }
  },

  async push() {
    await local.replicate.to(remote, { batch_size: BATCH });
    return {};
  },

  /** As after lost checkpoints: everything is offered again. */
  async resend() {
    await local.replicate.to(remote, {
      batch_size: BATCH,
      checkpoint: false,
      since: 0,
    });
  },

  async pull() {
    await local.replicate.from(remote, { batch_size: PAGE });
  },

  async count() {
    return (await local.info()).doc_count;
  },

  async countAtServer() {
    return (await remote.info()).doc_count;
  },
};
