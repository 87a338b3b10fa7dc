import { Component, type ComponentType, type VNode } from 'preact';

/** A component that is drawn anew only when one of its props is another. */
export function steady<P extends object>(draw: (props: P) => VNode | null): ComponentType<P> {
  return class extends Component<P> {
    override shouldComponentUpdate(next: Readonly<P>): boolean {
      return Object.keys(next).some((key) => next[key as keyof P] !== this.props[key as keyof P]);
    }

    override render(props: P): VNode | null {
      return draw(props);
    }
  };
}
