"""Purchase orders as machines read them: OASIS UBL 2.1 Order, one for each supplier of a plan.

Source: OASIS Universal Business Language 2.1 (4 November 2013; ISO/IEC 19845:2015), schema
UBL-Order-2.1. What stands where is in `openapi/ubl-order.md`.
"""

from optimiser.publishing.ubl.order import PurchaseOrder, write_purchase_orders

__all__ = ["PurchaseOrder", "write_purchase_orders"]
