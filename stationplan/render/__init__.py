"""How a plan looks: text chart, headline, legend, and the tables shown before solving."""
