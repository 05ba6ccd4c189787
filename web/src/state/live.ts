// The page's one socket, opened when first wanted.
import { Live } from '../net/live';
import { changedOutside, connected, fail, loadSite } from './site';

let socket: Live | null = null;

export function live(): Live {
  socket ??= new Live(
    (news) => {
      if (news.event === 'changed') void changedOutside(news.revision, news.says);
      if (news.event === 'settled') loadSite().catch(fail);
    },
    (isConnected) => {
      connected.value = isConnected;
    },
  );
  return socket;
}
