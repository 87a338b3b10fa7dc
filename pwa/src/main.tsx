import { render } from 'preact';
import { App } from './screens/App';
import './style.css';

render(<App />, document.getElementById('app')!);
