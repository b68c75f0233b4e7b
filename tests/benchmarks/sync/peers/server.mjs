/** CouchDB's protocol in one process, everything in memory. */

import express from 'express';
import expressPouchDB from 'express-pouchdb';
import PouchDB from 'pouchdb';
import memory from 'pouchdb-adapter-memory';

PouchDB.plugin(memory);
const InMemory = PouchDB.defaults({ adapter: 'memory' });
const app = express();
app.use(
  '/',
  expressPouchDB(InMemory, {
    mode: 'minimumForPouchDB',
    inMemoryConfig: true,
    logPath: '/dev/null',
  }),
);
app.listen(Number(process.argv[2]), '127.0.0.1');
