// The page's one socket, opened when first wanted.
import { Live } from '../net/live';
import { changedOutside, connected, fail, loadSite, site } from './site';

let socket: Live | null = null;

export function live(): Live {
  socket ??= new Live(
    (news) => {
      if (news.event === 'changed') void changedOutside(news.revision, news.says);
      if (news.event === 'settled') loadSite().catch(fail);
    },
    (isConnected) => {
      connected.value = isConnected;
      // What was told before we listened, or while we could not, is not told again.
      if (isConnected && site.value) loadSite().catch(fail);
    },
  );
  return socket;
}
