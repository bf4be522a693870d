// The words of keeping the page and the work in the browser, in English.
export const OFFLINE = Object.freeze({
  'newer.words': 'A newer edition of Trialplate is here. Your plates and answers stay.',
  'newer.load': 'Load it',
  'newer.others': 'Trialplate is open in another tab or window. Close it first, then load the newer edition.',
  'offline.ready': 'Works without a network from now on.',
});
