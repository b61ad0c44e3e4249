"""What the OpenAPI document says of the whole service."""

from litestar.openapi.spec import Tag

TAGS = (
    Tag(name="plans", description="An order in, a purchase plan out."),
    Tag(name="jobs", description="Orders that are planned while nobody waits."),
    Tag(name="studies", description="What if: an order under many changes, in one table."),
    Tag(name="takeoffs", description="Openings in, pieces and fasteners out; nothing is bought."),
    Tag(name="bench and site", description="What bench and site work from."),
    Tag(name="purchase orders", description="A plan as orders to suppliers, for other systems."),
    Tag(name="documents", description="What people read, print and file: pages, tables, sheets."),
    Tag(name="quotes", description="From a plan to the price for a customer."),
    Tag(name="schedules", description="A spreadsheet in, openings out."),
    Tag(name="rule sets", description="The rules of the takeoff, with their sources."),
    Tag(name="catalogues", description="Catalogues that the service keeps, in versions."),
    Tag(name="own rule sets", description="Rule sets of your own that the service keeps."),
    Tag(name="profiles", description="Sections of strip that the service keeps."),
    Tag(name="webhooks", description="Messages of what happens, signed, to a URL of your own."),
    Tag(
        name="orders",
        description="Orders that are kept: planned, accepted, received, changed and closed.",
    ),
    Tag(name="racks", description="What is on hand, kept between one order and the next."),
    Tag(name="audit", description="Who changed what, and when."),
    Tag(name="health", description="For whatever watches over the service."),
)

DESCRIPTION = """Metal weatherstrip is bought by the opening. Send a door and window schedule, the
catalogues of one or more suppliers, and a policy; the answer says what to buy, how to cut it, what
it costs, and how far that is proved to be the least.

Lengths are numbers in the order's unit or texts with their unit, read exactly. Money is a decimal
text. Bodies are JSON in UTF-8; plans, takeoffs and sheets come as JSON or, with Accept:
text/plain, as text for a buyer, for the bench and for the site.

Every request is answered with the header X-Request-ID: the identifier that was sent in the same
header, where it is one of up to 64 letters, digits, dots, dashes and underscores, else a new one.
Whatever goes wrong is answered with problem details (RFC 9457), and every fault of an order with a
JSON Pointer (RFC 6901).

Where keys are in use, send yours as Authorization: Bearer KEY; each belongs to one tenant, who
sees nothing of the others. Headers that begin with RateLimit say how often a key may still ask.
What is kept has an ETag; a change names it in If-Match. Lists come in pages: the header Link leads
to the next one."""
