"""What every feature may need: rows that happened, spans, codes, forms that are sent, paper."""
