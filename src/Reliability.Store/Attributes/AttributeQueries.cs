using Reliability.Store.Paging;

namespace Reliability.Store.Attributes;

/// <summary>Values of attributes in use.</summary>
public sealed class AttributeQueries
{
    private readonly string _organisation;
    private readonly Database _database;

    internal AttributeQueries(string organisation, Database database) =>
        (_organisation, _database) = (organisation, database);

    /// <summary>A page of the values that lives have, in order of value.</summary>
    /// <param name="attribute">Which attribute.</param>
    /// <param name="pageSize">At most this many, 1 or more.</param>
    /// <param name="after">Where the page begins; null for the first.</param>
    /// <param name="cancellation">Ends the query.</param>
    /// <exception cref="PageTokenException">The token is none of this list.</exception>
    /// <exception cref="StoreUnavailableException">The database does not answer.</exception>
    public async Task<Page<AttributeValue>> ListAsync(
        AttributeKind attribute, int pageSize, PageToken? after, CancellationToken cancellation)
    {
        var column = attribute switch
        {
            AttributeKind.Site => "site",
            AttributeKind.Refurbisher => "refurbisher",
            AttributeKind.HostModel => "host_model",
            AttributeKind.Lot => "lot",
            _ => throw new ArgumentOutOfRangeException(nameof(attribute), attribute, "Not an attribute of lives."),
        };
        var list = "attribute-values/" + column;
        var conditions = new QueryConditions(_organisation);
        conditions.Add($"{column} is not null");
        if (after is not null) conditions.Add($"{column} > {{0}}", after.KeyIn(list, 1)[0]);
        var rows = await _database.ReadAsync(
            $"""
            select {column}, count(*) from {_database.Schema}.lives
            where {conditions.Sql} group by {column} order by {column} limit {pageSize + 1}
            """,
            conditions.Parameters,
            reader => new AttributeValue(reader.GetString(0), reader.GetInt64(1)),
            cancellation);
        return rows.Count > pageSize
            ? new Page<AttributeValue>(rows[..pageSize], PageToken.After(list, rows[pageSize - 1].Value))
            : new Page<AttributeValue>(rows, null);
    }
}
