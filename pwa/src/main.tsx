import { render } from 'preact';

render(<p>{__RELEASE__}</p>, document.getElementById('app')!);
