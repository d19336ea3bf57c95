"""The arithmetic of the course's worked examples, worked out by Python: `how` gives `value`."""

import ast
import math
import operator
import sys
import tomllib
from pathlib import Path

FILE = Path(__file__).resolve().parent.parent / "worked_examples.toml"
OPERATORS = {
    ast.Add: operator.add,
    ast.Sub: operator.sub,
    ast.Mult: operator.mul,
    ast.Div: operator.truediv,
    ast.Pow: operator.pow,
}


def work(node):
    """Sums, products and powers of numbers, and pi; nothing else."""
    match node:
        case ast.Expression():
            return work(node.body)
        case ast.Constant(value=int() | float() as number):
            return number
        case ast.Name(id="pi"):
            return math.pi
        case ast.UnaryOp(op=ast.USub()):
            return -work(node.operand)
        case ast.BinOp():
            return OPERATORS[type(node.op)](work(node.left), work(node.right))
    raise ValueError(ast.dump(node))


def main():
    examples = tomllib.loads(FILE.read_text())["example"]
    wrong = 0
    for example in examples:
        found = work(ast.parse(example["how"], mode="eval"))
        if abs(found - example["value"]) > 1e-7 * abs(found):
            wrong += 1
            print(f"{example['lesson']}, {example['name']}.{example['output']}: {found}, not {example['value']}")
    print(f"worked_examples: {len(examples)} results by Python, {wrong} differ")
    sys.exit(wrong > 0)


main()
