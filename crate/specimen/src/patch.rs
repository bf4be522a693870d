//! A curved patch cut into cells, one surface point each.
